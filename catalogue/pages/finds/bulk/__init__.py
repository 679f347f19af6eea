"""Taking in what has stood on the shelves for years: by a picture of a whole shelf, or many rows at once."""
