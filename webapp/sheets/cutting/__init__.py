"""Speeds and feeds, swing, hand strokes, reamer or boring bar."""
