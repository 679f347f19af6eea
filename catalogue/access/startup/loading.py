"""Load the program without looking for rubbish meanwhile.

Python looks through everything it holds each time that has grown by so much. While modules are loaded all of
it stays, so each look finds nothing: a fifth of the time to the first page went there.
"""

import gc


def begin() -> None:
    """From here on much is loaded, to stay."""
    gc.disable()


def end() -> None:
    """Loaded: what there is now needn't be looked through again. Can be said twice."""
    gc.freeze()
    gc.enable()
