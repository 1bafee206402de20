"""Cuts and allowances."""
