"""What the storeroom may book, and what each step enters: rules alone, no database."""
