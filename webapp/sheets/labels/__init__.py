"""Labels to be printed, stuck on castings and scanned."""
