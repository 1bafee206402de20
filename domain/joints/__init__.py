"""Joints: irons, limits and fits, thick rings, bonds, what a joint holds and what it must carry."""
