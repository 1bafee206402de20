"""Treads and gauges."""
