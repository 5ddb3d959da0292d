"""Looking for anything that the site has a name for."""
