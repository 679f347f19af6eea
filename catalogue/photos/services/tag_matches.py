"""Which find on record a tag, or a number read from a label, belongs to."""

from collections.abc import Iterable

from django.db.models import Q
from django.db.models.functions import Upper

from catalogue.photos.grouping import tag_key
from catalogue.sites.models import Dive
from catalogue.specimens.models import Specimen
from catalogue.specimens.numbers import read_number


def spellings(code: str) -> set[str]:
    """How a tag may stand in the records, in upper case: "T-65", "T65", "T 65"."""
    key = tag_key(code)
    letters = key.rstrip("0123456789")
    number = key[len(letters) :]
    return {code.strip().upper(), key, f"{letters}-{number}", f"{letters} {number}"}


def finds_by_code(codes: Iterable[str], dive: Dive) -> dict[str, Specimen]:
    """By `tag_key`: the one find that a code means. One of this dive goes before others; of several, none.

    One query, whatever the number of codes.
    """
    wanted = {code for code in codes if code.strip()}
    if not wanted:
        return {}
    tags = {spelling for code in wanted for spelling in spellings(code)}
    numbers = {str(number) for code in wanted if (number := read_number(code))}
    rows = Specimen.objects.annotate(tag=Upper("field_tag")).filter(Q(tag__in=tags) | Q(number__in=numbers))
    found: dict[str, list[Specimen]] = {}
    for find in rows.only("number", "what", "field_tag", "dive_id"):
        for key in {tag_key(find.field_tag), tag_key(find.number)} - {""}:
            found.setdefault(key, []).append(find)
    return {key: find for key, finds in found.items() if (find := only_one(finds, dive))}


def only_one(finds: list[Specimen], dive: Dive) -> Specimen | None:
    here = [find for find in finds if find.dive_id == dive.pk]
    chosen = here or finds
    return chosen[0] if len(chosen) == 1 else None
