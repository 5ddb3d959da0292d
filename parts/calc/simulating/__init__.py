"""A fleet played out, to prove the formulas, and a site changed to try what if."""
