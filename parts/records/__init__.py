"""The nouns: frozen records of a site, as they stand in its book. Standard library only."""
