"""Taking finds out in open formats: one module a format, all of them from the same plain rows."""
