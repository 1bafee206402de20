"""Who is at the bench."""
