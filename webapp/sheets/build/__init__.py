"""A build: its sheet, starting it and changing it."""
