"""What next, and batches stepped from wheel to wheel."""
