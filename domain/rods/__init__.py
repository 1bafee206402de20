"""Coupling rods: exact play, how sure, causes and corrections."""
