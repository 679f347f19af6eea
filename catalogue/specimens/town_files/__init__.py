"""Files of listed towns: read-only SQLite, looked up by keys of names, never read whole into memory."""
