"""Devices: who is let in, by what each is known, and the code that a new one gives."""
