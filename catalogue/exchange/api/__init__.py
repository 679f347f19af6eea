"""What one's own programs read of the catalogue: plain values by kind, a part at a time."""
