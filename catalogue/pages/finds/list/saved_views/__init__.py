"""Ways of looking at the finds that were given a name."""
