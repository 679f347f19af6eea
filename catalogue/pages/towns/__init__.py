"""Towns: where bottlers sold. Never where the glass was made."""
