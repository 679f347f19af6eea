"""A camera's card of a dive: its pictures sorted into pieces, then filed at once."""
