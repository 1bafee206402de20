"""Pairing: wheels to seats, throws to sides."""
