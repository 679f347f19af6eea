"""The address book: only the owner ever sees it."""
