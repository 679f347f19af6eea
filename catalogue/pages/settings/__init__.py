"""What the owner sets once."""
