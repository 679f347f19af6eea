"""What search reads: everything typed about a find, folded into one text."""

from catalogue.common.text import folded
from catalogue.specimens.models import Specimen


def refresh_search(find: Specimen) -> Specimen:
    """Bring the search text of one find up to date and save it."""
    find.search_text = search_text(find)
    find.save_without_historical_record(update_fields=["search_text"])
    return find


def search_text(find: Specimen) -> str:
    """Number, words, inscriptions, readings, maker, bottler, product, town, site and place, folded."""
    parts: list[str] = [
        find.number,
        find.older_numbers,
        find.field_tag,
        find.what,
        find.get_kind_display(),
        find.get_contents_display(),
        find.get_colour_display(),
        find.where_on_site,
        find.found_with,
        find.notes,
        find.story,
        str(find.product or ""),
        str(find.bottler or ""),
        str(find.town or ""),
        str(find.maker or ""),
        str(find.where_found or ""),
        str(find.place or ""),
    ]
    parts += [i.text.replace("/", " ") for i in find.inscriptions.all()]
    parts += [r.letters for r in find.readings.all()]
    parts += [f"{o.value} {o.reason}" for o in find.opinions.all()]
    return " ".join(dict.fromkeys(folded(part) for part in parts if part))
