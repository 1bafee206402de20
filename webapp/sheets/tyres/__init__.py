"""The sheet of a steel tyre: its inside and its centre's outside, how hot to make it, and what it then holds."""
