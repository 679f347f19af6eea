"""A walk-round check of a place: by touch, by typed numbers, by pictures of the labels; and its result."""
