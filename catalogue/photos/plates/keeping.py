"""The latest surfaces worked out, kept in memory: a page asks for several plates of the same pictures."""

from collections import OrderedDict
from threading import Lock

from .making import Surfaces, work_out
from .recipe import Recipe

# A few tens of megabytes at most; on a modest laptop one person reads one base at a time.
MOST = 3

_kept: OrderedDict[tuple, Surfaces] = OrderedDict()
# Held while working: a second request for the same waits for the first, and two never fill the memory.
_working = Lock()


def surfaces_of(recipe: Recipe) -> Surfaces:
    """The surfaces of a recipe, from memory where it was asked for lately. Raises ImagingError."""
    box = recipe.box()
    key = (tuple(shot.sha256 for shot in recipe.shots), recipe.clocks, recipe.rise_deg, box)
    with _working:
        if key in _kept:
            _kept.move_to_end(key)
            return _kept[key]
        made = work_out(recipe)
        _kept[key] = made
        while len(_kept) > MOST:
            _kept.popitem(last=False)
        return made


def forget() -> None:
    """Let everything go; the next request works it out anew."""
    with _working:
        _kept.clear()
