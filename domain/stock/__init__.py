"""Stock: rough sizes, sharing the metal, cuts to go, and the guard against cutting too far."""
