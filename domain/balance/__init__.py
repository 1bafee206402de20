"""Balance: what a wheel needs and what it has."""
