"""Invented builds to look round in. Nothing in them is, or is after, a real engine or person."""
