"""Notes on castings and axles, with photos."""
