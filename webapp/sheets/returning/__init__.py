"""Re-turning a finished set after service: wear, the new diameter, and the way back to tread turned."""
