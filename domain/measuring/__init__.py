"""Measuring: instruments, how sure a size is, the decision at a limit, temperature, plugs, taper and out-of-round."""
