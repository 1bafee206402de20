"""Treads: wheel standards, the profile, gauges, the diameter of a group."""
