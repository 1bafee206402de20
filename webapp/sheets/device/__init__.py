"""A new device gives the code."""
