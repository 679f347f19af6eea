"""What is written on labels, read from the catalogue: of finds, of groups of them, of a box, of a place."""

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from django.urls import reverse

from catalogue.care.piece_facts import Knowledge, knowledge_of
from catalogue.common.drawings.year_axis import YearAxis, curve_per_year
from catalogue.labels.code_address import NUMBER_ALONE, code_text
from catalogue.labels.label_text import LabelKind, LabelRuler, LabelText, ListRow, hazard_note
from catalogue.labels.scanned import place_text
from catalogue.labels.surface import LabelPicture
from catalogue.photos import files
from catalogue.photos.models import Photo
from catalogue.shelves.models import Place
from catalogue.specimens.derived.batches import BATCH
from catalogue.specimens.models import Specimen
from catalogue.specimens.queries import catalogue_axis
from catalogue.specimens.stored_answer import NO_YEARS

_PICTURE_SIZE: Final = "large"


@dataclass(frozen=True, slots=True)
class GroupBy:
    """A way of grouping finds under headings: its words, and the key and the name of a find's group."""

    key: str
    name: str
    of: Callable[[Specimen], tuple[object, str] | None]


def _named(attribute: str) -> Callable[[Specimen], tuple[object, str] | None]:
    def group(find: Specimen) -> tuple[object, str] | None:
        row = getattr(find, attribute)
        return (row.pk, str(row)) if row else None

    return group


def _alike(find: Specimen) -> tuple[object, str] | None:
    return (find.twin_group_id, find.what) if find.twin_group_id else None


GROUPINGS: Final = {
    each.key: each
    for each in (
        GroupBy("town", "Town", _named("town")),
        GroupBy("maker", "Maker", _named("maker")),
        GroupBy("bottler", "Bottler", _named("bottler")),
        GroupBy("product", "Product", _named("product")),
        GroupBy("alike", "Pieces that match", _alike),
    )
}
_JOINED: Final = ("town", "maker", "bottler", "product", "place")


def _known(keys: Sequence[int]) -> Iterator[tuple[Specimen, Knowledge]]:
    """The finds in the order of their keys, each with what is known of it. Six queries each five hundred."""
    for start in range(0, len(keys), BATCH):
        part = keys[start : start + BATCH]
        finds = Specimen.objects.select_related(*_JOINED).in_bulk(part)
        known = knowledge_of(finds.values())
        yield from ((finds[key], known[key]) for key in part if key in finds)


def label_of(find: Specimen, base: str, *, hazards: Sequence[str] = ()) -> LabelText:
    """The words of a find's label: its town, else its maker, stands on the place line.

    Its code is made with `base` (see `code_address`).
    """
    return LabelText(
        number=find.number,
        title=find.what,
        place_line=_town_or_maker(find),
        made_words=_years(find),
        code=code_text(base, find.number),
        note=hazard_note(hazards),
        kept_at=str(find.place) if find.place else "",
    )


def _town_or_maker(find: Specimen) -> str:
    if find.town:
        return str(find.town)
    maker = find.maker.name if find.maker else ""
    return f"{maker}, likely" if maker and find.maker_how == Specimen.MakerHow.LIKELY else maker


def _years(find: Specimen) -> str:
    return "" if find.made_words in NO_YEARS else find.made_words


def texts_of_finds(keys: Sequence[int], base: str, kind: LabelKind) -> list[LabelText]:
    """What stands on each label, in the order of the keys. Pictures and the axis of years where asked for."""
    covers = _covers(keys) if "picture" in kind.parts else {}
    axis = catalogue_axis() if "ruler" in kind.parts else None
    texts = []
    for find, known in _known(keys):
        text = label_of(find, base, hazards=[gate.name for gate in known.hazards])
        if covers or axis:
            text = _with_drawings(text, find, covers.get(find.pk), axis)
        texts.append(text)
    return texts


def _with_drawings(text: LabelText, find: Specimen, cover: Photo | None, axis: YearAxis | None) -> LabelText:
    return replace(
        text,
        picture=_picture(cover) if cover else None,
        ruler=_ruler(find, axis) if axis else None,
    )


def _covers(keys: Sequence[int]) -> dict[int, Photo]:
    covers: dict[int, Photo] = {}
    for start in range(0, len(keys), BATCH):
        covers |= Photo.objects.covers_of(keys[start : start + BATCH])
    return covers


def _picture(photo: Photo) -> LabelPicture:
    return LabelPicture(
        files.size(photo.sha256, _PICTURE_SIZE),
        reverse("photos:size", kwargs={"pk": photo.pk, "size": "medium"}),
        photo.width,
        photo.height,
    )


def _ruler(find: Specimen, axis: YearAxis) -> LabelRuler | None:
    stored = find.made_ruler or {}
    curve, years = curve_per_year(stored.get("curve", ())), tuple(stored.get("years") or ())
    window = (find.made_from, find.made_to)
    if find.made_words in NO_YEARS or not (curve or years or window != (None, None)):
        return None
    return LabelRuler(axis.holding(curve, window=window, years=years), curve, years, window)


def texts_of_groups(keys: Sequence[int], by: GroupBy) -> list[LabelText]:
    """A heading for each group among these finds, in the order they are met; finds of no group have none."""
    groups: dict[object, tuple[str, list[tuple[Specimen, Knowledge]]]] = {}
    for find, known in _known(keys):
        if found := by.of(find):
            groups.setdefault(found[0], (found[1], []))[1].append((find, known))
    return [
        LabelText(
            number="",
            title=name,
            made_words=_years_of([find for find, _ in members]),
            count=_pieces(len(members)),
            note=_hazards_among(members),
        )
        for name, members in groups.values()
    ]


def _years_of(finds: Sequence[Specimen]) -> str:
    """From the earliest to the latest year of those of both bounds, and of how many that is told.

    It is in doubt where the years of one of them are.
    """
    dated = [find for find in finds if find.made_from is not None and find.made_to is not None]
    if not dated:
        return ""
    first, last = min(f.made_from or 0 for f in dated), max(f.made_to or 0 for f in dated)
    words = str(first) if first == last else f"about {first} to {last}"
    if any(find.made_words.startswith("probably") for find in dated):
        words = f"probably {words}"
    return words if len(dated) == len(finds) else f"{words} ({len(dated)} of {len(finds)} dated)"


def _pieces(count: int) -> str:
    return "1 piece" if count == 1 else f"{count:,} pieces"


def _hazards_among(members: Iterable[tuple[Specimen, Knowledge]]) -> str:
    return hazard_note([gate.name for _, known in members for gate in known.hazards])


def list_of_finds(keys: Sequence[int], *, title: str, code: str = "") -> LabelText:
    """One list of these finds: a row each, with what to be careful of."""
    rows = tuple(
        ListRow(
            find.number,
            find.what,
            _town_or_maker(find),
            _years(find),
            hazard_note([gate.name for gate in known.hazards]),
        )
        for find, known in _known(keys)
    )
    return LabelText(number="", title=title, count=_pieces(len(rows)), code=code, rows=rows)


def texts_of_places(places: Collection[Place], base: str) -> list[LabelText]:
    """The labels of places themselves: each names it, what it is inside, and opens its page by its code.

    A hazard of a piece that stands there now is named too.
    """
    texts = []
    for place in places:
        members = list(_known(list(place.finds.filter(binned_at=None).values_list("pk", flat=True))))
        texts.append(
            LabelText(
                number=place.name,
                title=str(place.parent) if place.parent else "",
                place_line=place_text(place.pk),
                count=_pieces(len(members)) if members else "",
                code=place_code(base, place.pk),
                note=_hazards_among(members),
            )
        )
    return texts


def place_code(base: str, pk: int) -> str:
    """What the code of a place holds; `scanned.place_key_of` reads it."""
    return place_text(pk) if base == NUMBER_ALONE else base + reverse("place_short", args=[pk])
