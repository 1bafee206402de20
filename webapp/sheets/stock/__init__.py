"""Castings as they came, and the metal left on them."""
