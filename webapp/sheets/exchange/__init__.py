"""A build taken to another machine, and taken in."""
