"""The program round the trade: pages, services and the data file."""
