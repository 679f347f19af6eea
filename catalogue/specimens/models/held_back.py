"""Access decision by stored hazards: what is free to take or shared, and yet not shown while one stands.

A hazard may be seen after a piece was set free or shared. Which ones speak against showing or giving is told
by an app above while the applications get ready (dependency inversion); here they are only asked for. Pure.
"""

from collections.abc import Iterable

from django.db.models import Q

from .words import Standing

OPENED = Q(standing=Standing.FREE) | Q(shared=True)
# Begins a stored key that no table of care knows: nobody can tell what it speaks against, so against all.
UNKNOWN = "?"
_against_showing: set[str] = {f"|{UNKNOWN}"}
_against_giving: set[str] = set()


def hold_back_by(showing: Iterable[str], giving: Iterable[str]) -> None:
    """Say which keys of `care_flags` keep a piece from being shown to visitors, and from being set free."""
    _against_showing.update(f"|{key}|" for key in showing)
    _against_giving.update(f"|{key}|" for key in giving)


def is_held_back(standing: str, care_flags: str | None) -> bool:
    """The same as `held_back_rows`, of one piece."""
    flags = care_flags or ""
    free = standing == Standing.FREE
    return any(key in flags for key in _against_showing) or (
        free and any(key in flags for key in _against_giving)
    )


def held_back_rows() -> Q:
    """Finds with a hazard that refuses to show them, or, where they are free to take, to give them."""
    return _holding(_against_showing) | Q(standing=Standing.FREE) & _holding(_against_giving)


def any_flag(keys: Iterable[str], *, unknown: bool = False) -> Q:
    """Finds with any of these keys in `care_flags`, or (`unknown`) one that no table knows."""
    return _holding([*(f"|{key}|" for key in keys), *([f"|{UNKNOWN}"] if unknown else [])])


def _holding(parts: Iterable[str]) -> Q:
    return Q(*(("care_flags__contains", part) for part in sorted(parts)), _connector=Q.OR)
