"""Label sheets, field tags, and the slip that goes with a piece."""
