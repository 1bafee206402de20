"""The sheet of the mandrel: the stub, and each wheel's time on it."""
