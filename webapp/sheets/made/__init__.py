"""The set as made."""
