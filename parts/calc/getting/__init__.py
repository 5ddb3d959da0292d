"""How one part can be had, and how soon."""
