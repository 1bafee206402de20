"""Ordering castings: chances and risk."""
