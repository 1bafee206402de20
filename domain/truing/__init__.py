"""Setting true: dial readings, which jaw to move, rounds of readings, wobble."""
