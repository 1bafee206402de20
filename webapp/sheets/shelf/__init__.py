"""The list of builds: the first page."""
