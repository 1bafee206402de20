"""What several pictures share. Numbers in, coordinates out; the SVG itself is written by templates."""
