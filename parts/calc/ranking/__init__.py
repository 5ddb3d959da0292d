"""What matters most, how firm that is, and how each figure came about."""
