"""The card of one axle: its own sizes, and what goes on it before the second wheel."""
