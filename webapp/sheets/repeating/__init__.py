"""What was set for each operation on a wheel, kept for the next one."""
