"""Date any bottle in hand: everything said stands in the address, so a link shares it."""
