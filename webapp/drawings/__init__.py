"""Geometry for the pictures: numbers in, coordinates out. The SVG itself is written by templates."""
