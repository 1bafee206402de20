"""Finding a thing again by what was written of it."""
