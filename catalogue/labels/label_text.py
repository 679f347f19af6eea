"""What a find's label says, and the kinds of label to choose from."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from django.http import HttpRequest
from django.urls import reverse

from catalogue.common.models import HouseSettings
from catalogue.specimens.models import Specimen


@dataclass(frozen=True, slots=True)
class LabelText:
    """The words of one find's label; only the number is needed.

    ``place_line`` is the town or maker, ``made_words`` the window of years in words, ``url`` the find's
    short address for the code, ``note`` what to be careful of, last.
    """

    number: str
    title: str = ""
    place_line: str = ""
    made_words: str = ""
    url: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class LabelKind:
    """A choice of what is printed: ``parts`` are the fields of ``LabelText`` that are used."""

    key: str
    name: str
    parts: frozenset[str]


_ALL = (
    LabelKind(
        "shelf",
        "Shelf label: number, name, town or maker, when made, code",
        frozenset({"title", "place_line", "made_words", "url", "note"}),
    ),
    LabelKind(
        "plain", "Shelf label without a code", frozenset({"title", "place_line", "made_words", "note"})
    ),
    LabelKind("tag", "Tag: number and code", frozenset({"url"})),
    LabelKind("number", "Number alone, as large as it goes", frozenset()),
)
LABEL_KINDS: Mapping[str, LabelKind] = MappingProxyType({kind.key: kind for kind in _ALL})


def label_of(find: Specimen, base: str, *, hazards: Sequence[str] = ()) -> LabelText:
    """The words of a find's label: its town, else its maker, stands on the place line; hazards last."""
    maker = find.maker.name if find.maker else ""
    if maker and find.maker_how == Specimen.MakerHow.LIKELY:
        maker = f"{maker}, likely"
    return LabelText(
        number=find.number,
        title=find.what,
        place_line=str(find.town) if find.town else maker,
        made_words=find.made_words if find.made_words != "not yet dated" else "",
        url=base + reverse("short", args=[find.number]),
        note=f"Careful: {', '.join(hazards)}" if hazards else "",
    )


def address_for_labels(request: HttpRequest) -> str:
    """What stands before /f/<number>: the owner's setting, else the address this page is read at."""
    return HouseSettings.current().label_address or f"{request.scheme}://{request.get_host()}"
