"""The builder's own hand: what was made against what was aimed at."""
