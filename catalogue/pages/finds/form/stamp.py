"""Whether a find was changed by somebody else while its form was open."""

from dataclasses import dataclass
from datetime import datetime

from catalogue.specimens.models import Specimen

# Refreshed by the catalogue itself; nobody typed them.
NOT_TYPED = frozenset({"changed", "maker", "maker_how", "maker_probability"})


@dataclass(frozen=True, slots=True)
class Meanwhile:
    """A change made since the form was opened."""

    at: datetime
    by: str
    what: tuple[str, ...]


def stamp_of(find: Specimen) -> str:
    """What the form carries: the latest entry in the find's history. Every kept change adds one."""
    latest = find.history.order_by("-history_id").values_list("history_id", flat=True).first()
    return str(latest or "")


def changed_since(find: Specimen, stamp: str) -> Meanwhile | None:
    """The change made after that stamp, or None where there was none or the stamp can't be read."""
    if not stamp.isascii() or not stamp.isdigit() or len(stamp) > 18:
        return None
    entries = list(find.history.filter(history_id__gte=int(stamp)).order_by("history_id"))
    if len(entries) < 2 or entries[0].history_id != int(stamp):
        return None
    latest = entries[-1]
    names = latest.diff_against(entries[0], foreign_keys_are_objs=False).changed_fields
    typed = [name for name in names if name not in NOT_TYPED and not name.startswith("made_")]
    words = tuple(str(Specimen._meta.get_field(name).verbose_name) for name in typed)
    user = next((str(e.history_user) for e in reversed(entries) if e.history_user_id), "the catalogue")
    return Meanwhile(latest.history_date, user, words)
