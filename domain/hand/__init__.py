"""The builder's own hand: what is made against what was aimed at, and what the next one may be expected to be."""
