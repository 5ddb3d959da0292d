"""What to buy, by when, and what a plan leaves."""
