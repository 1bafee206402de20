"""Cutting: operations, speeds, spindles, reamers, hand strokes, swing."""
