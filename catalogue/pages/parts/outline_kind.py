"""Which outline stands for a find without a picture: that of its kind, or of no vessel at all."""

from catalogue.care.stored_flags import read
from catalogue.common.drawings.profiles import NO_VESSEL
from catalogue.specimens.models import Specimen

# Of these the outline of a bottle would say what nobody said: it may be anything.
NO_BOTTLES = frozenset({"munition", "remains"})


def outline_kind(find: Specimen) -> str:
    """The kind whose outline is drawn. No query.

    A jar that holds ashes is a jar: only where nobody said what kind of vessel it is, none is drawn.
    """
    kind = find.kind or "other"
    return NO_VESSEL if kind == "other" and NO_BOTTLES & read(find.care_flags) else kind
