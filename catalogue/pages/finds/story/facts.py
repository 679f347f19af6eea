"""What the record says of a find, put into the words that a draft is made of."""

from collections.abc import Iterable

from catalogue.care.models import Treatment
from catalogue.pages.finds.unfinished.missing import UNDESCRIBED
from catalogue.sites.models import Site
from catalogue.specimens.models import Inscription, Specimen

from .draft import Facts

LIES = {
    Specimen.Lie.UPRIGHT: "upright in the silt",
    Specimen.Lie.HALF: "half buried",
    Specimen.Lie.PROUD: "proud of the bottom",
    Specimen.Lie.BURIED: "buried",
}
# Read on it, but no words that a story wants.
NOT_QUOTED = (Inscription.Says.MARK, Inscription.Says.CODE, Inscription.Says.LEGAL)
MOST_QUOTED = 3


def facts_of(find: Specimen, *, age: str = "", treatments: Iterable[Treatment] = ()) -> Facts:
    """No query where the find's dive, trade and rows are prefetched."""
    quoted = [row.text for row in find.inscriptions.all() if row.says not in NOT_QUOTED]
    mark = next((row.letters for row in find.readings.all() if row.letters), "")
    done = sorted(treatments, key=lambda row: (row.begun, row.pk))
    return Facts(
        what="bottle" if find.what == UNDESCRIBED else find.what,
        colour=_word(find.get_colour_display(), find.colour),
        contents=_word(find.get_contents_display(), find.contents),
        product=str(find.product or ""),
        bottler=str(find.bottler or ""),
        town=find.town.name if find.town else "",
        maker=find.maker.name if find.maker else "",
        maker_likely=find.maker_how == Specimen.MakerHow.LIKELY,
        mark=mark,
        made=find.made_words,
        age=age,
        lettering=tuple(quoted[:MOST_QUOTED]),
        came_up=came_up(find),
        lay=lay_in(find.where_found),
        depth_m=float(find.depth_m) if find.depth_m else None,
        lie=LIES.get(find.lie, ""),
        found_with=find.found_with,
        treated=tuple(dict.fromkeys(row.get_method_display() for row in done)),
        look=find.look,
    )


def lay_in(site: Site | None) -> str:
    """The site as far as visitors may know it, in names alone: figures of a position are no story."""
    if site is None or site.show_as == Site.ShowAs.HIDDEN:
        return ""
    names = [site.name, site.water_body] if site.show_as == Site.ShowAs.EXACT else [site.water_body]
    return ", ".join(name for name in names if name)


def came_up(find: Specimen) -> str:
    """When, in words: the month of its dive, else what is noted without one."""
    if find.dive:
        return f"in {find.dive.date:%B %Y}"
    words = find.came_up_words
    if words.isdigit() or words.startswith("the "):
        return f"in {words}"
    first, to, last = words.partition(" to ")
    return f"between {first} and {last}" if to else words if words.startswith("about ") else ""


def _word(shown: str, stored: str) -> str:
    """A choice as it is shown; "other" tells nothing."""
    return "" if stored == "other" else str(shown)
