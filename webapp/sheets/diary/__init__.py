"""Everything done, by day."""
