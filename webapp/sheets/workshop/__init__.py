"""The workshop: instruments, tools and machines."""
