"""One find: its page, and what is done to it from there."""
