"""Like the last wheel: what an operation is set by, and what is said of it and of what came."""
