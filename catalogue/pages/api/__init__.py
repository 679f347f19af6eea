"""What one's own programs ask: read-only JSON, with a key of their own."""
