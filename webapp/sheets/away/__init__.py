"""A build put away: archived, brought back, or deleted."""
