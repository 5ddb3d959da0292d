"""What a failure does to a crane today, and how it is restored."""
