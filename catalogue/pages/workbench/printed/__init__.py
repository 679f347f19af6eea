"""What the bench prints: the sheet for the wall and the treatment record of a piece."""
