"""Everything measured of a casting or an axle, and striking out what was misread."""
