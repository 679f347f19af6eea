"""A maker leaves as a file, and comes in as one."""
