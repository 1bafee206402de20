"""The trade: pure functions and frozen dataclasses, with no web, no database and no clock."""
