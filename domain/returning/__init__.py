"""Re-turning: what service took off a finished set, and what must be turned off so that its profile is whole again."""
