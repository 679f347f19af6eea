"""A start that can't be: one sentence that says why and what to do."""

EXIT_CODE = 2


class Refused(Exception):
    """Raised with the sentence that the person reads; the program ends with `EXIT_CODE`."""
