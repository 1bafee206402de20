"""The axle: its shoulders and what they make of the back to back, its journals, its run-out, and what goes on it."""
