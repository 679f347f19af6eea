"""The words of the slip that goes with a piece, as they are on the day it leaves."""

from catalogue.care.models import Treatment
from catalogue.sites.queries import place_for_visitors
from catalogue.specimens.models import Specimen
from catalogue.specimens.stored_answer import NO_YEARS
from catalogue.specimens.year_words import made_line


def slip_words(find: Specimen) -> dict[str, str]:
    """What the slip says, by its parts. No day and no person: a name would outlive its erasing."""
    marked_for = f"marked for {find.town}" if find.town else ""
    maker = _maker(find)
    return {
        "number": find.number,
        "title": find.what,
        "place_line": "; ".join(part for part in (marked_for, maker) if part),
        "made_words": _made(find),
        "where_found": place_for_visitors(find.where_found),
        "story": find.story,
        "treatment": _treated(find),
    }


def _made(find: Specimen) -> str:
    """The same phrase as on its page, with its doubt; nothing where nothing is known."""
    return "" if find.made_words in NO_YEARS else made_line(find.made_words)


def _maker(find: Specimen) -> str:
    if not find.maker:
        return ""
    return f"{find.maker}, likely" if find.maker_how == Specimen.MakerHow.LIKELY else str(find.maker)


def _treated(find: Specimen) -> str:
    """Methods in the order of first use; a tumbled surface must be told to whoever gets the piece."""
    methods = Treatment.objects.filter(find=find).order_by("begun", "pk").values_list("method", flat=True)
    return ", ".join(Treatment.Method(method).label for method in dict.fromkeys(methods))
