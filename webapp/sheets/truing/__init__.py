"""Setting a casting true in the independent chuck."""
