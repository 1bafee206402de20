"""Fits, and which wheel goes on which seat."""
