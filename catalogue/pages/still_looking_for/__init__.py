"""Still looking for: years that makers' codes allow and no piece has, and what else is wished for."""
