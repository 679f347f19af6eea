"""Looking at a piece before anything that can't be undone."""

from collections.abc import Iterable

from django.utils import timezone

from catalogue.care.care_tables import care_tables
from catalogue.care.models import Check
from catalogue.specimens.models import Specimen


def note_look(find: Specimen, found: Iterable[str], note: str = "") -> Check:
    """Write down a look at the piece: the keys of the gates that hold, none for "nothing there".

    Raises ValueError for a key that nobody can look for.
    """
    keys = list(dict.fromkeys(found))
    gates = care_tables().gates
    wrong = [key for key in keys if key not in gates or not gates[key].by_eye]
    if wrong:
        raise ValueError(f"Nobody can look for {wrong[0]!r}.")
    return Check.objects.create(find=find, found=keys, note=note, at=timezone.now())
