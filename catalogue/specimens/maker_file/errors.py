"""What is wrong with a maker's file."""


class MakerFileError(ValueError):
    """One sentence, and the path of the key it is about (`marks[2].used_to`; empty for the whole file)."""

    def __init__(self, message: str, at: str = "") -> None:
        super().__init__(f"{at}: {message}" if at else message)
        self.message = message
        self.at = at
