"""Pages of the bench that show several rooms' things, and what hangs on its wall."""
