"""Record a find, and edit it: one form, phone first, that dates the piece while it is filled in."""
