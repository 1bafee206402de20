"""How many castings to buy."""
