"""What the joints must carry, and what each holds."""
