"""Balance."""
