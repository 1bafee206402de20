"""Cranks: cylinders, holes and the jig, throws, quartering."""
