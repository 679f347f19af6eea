"""The one error of this package: a sentence that can be shown beside the picture."""


class ImagingError(ValueError):
    """What was asked can't be worked out from what was given; the message says why and what to do."""
