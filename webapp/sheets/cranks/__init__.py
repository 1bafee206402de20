"""Crankpins and quartering."""
