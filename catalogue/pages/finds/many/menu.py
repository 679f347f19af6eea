"""The acts on many finds, in the order of the bar; each with its form and how it is made from it."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from django import forms, template

from catalogue.care.batch import ForBath, IntoSoak, SetStage
from catalogue.giving.batch import PromiseFinds, SetStanding, ShareFinds, StopSharing
from catalogue.giving.batch_departures import DepartFinds
from catalogue.giving.forms import DepartureForm, PromiseForm
from catalogue.people.models import Person
from catalogue.people.services import person_named
from catalogue.specimens.batch.alike import AddWords, MatchAsTwins, PutInBin
from catalogue.specimens.batch.links import MovePieces, SetBottler, SetKind, SetTown
from catalogue.specimens.batch.piece_act import PieceAct
from catalogue.specimens.services.towns import town_named
from catalogue.specimens.services.trade import bottler_meant

from .forms import (
    BathForAll,
    BottlerForAll,
    KindForAll,
    NameForAll,
    NothingToAsk,
    PlaceForAll,
    SoakForAll,
    StageForAll,
    StandingForAll,
    TownForAll,
    WordsForAll,
)

register = template.Library()
Make = Callable[[Any, bool], PieceAct]


@dataclass(frozen=True, slots=True)
class MenuAct:
    """An act of the bar: its words there, the verb of its last button, its form, and the act itself.

    `make` is given the valid form and whether it is to be done; only then it may add a name to the catalogue.
    `bare` is the act as its undo needs it.
    """

    key: str
    label: str
    button: str
    form: type[forms.Form]
    make: Make
    bare: Callable[[], PieceAct]
    # A name that is new is written, and taken back, to show what would be.
    tries: bool = False

    @property
    def asks(self) -> bool:
        """Whether it has anything to fill in."""
        return bool(self.form.base_fields)


def _promise(form: PromiseForm, really: bool) -> PieceAct:
    data = form.cleaned_data
    person = person_named(data["person"]) if really else Person(name=data["person"])
    return PromiseFinds(person, data["on"], data["until"], data["note"])


def _town(form: NameForAll, really: bool) -> PieceAct:
    return SetTown(town_named(form.name_typed()) if form.name_typed() else None)


def _bottler(form: NameForAll, really: bool) -> PieceAct:
    return SetBottler(bottler_meant(form.name_typed()))


def _of(act: Callable[..., PieceAct], *fields: str) -> Make:
    return lambda form, really: act(*(form.cleaned_data[name] for name in fields))


MENU: dict[str, MenuAct] = {
    each.key: each
    for each in (
        MenuAct("move", "Move to a place", "Move", PlaceForAll, _of(MovePieces, "place", "why"), MovePieces),
        MenuAct("stage", "Move to a stage", "Move", StageForAll, _of(SetStage, "stage"), SetStage),
        MenuAct(
            "standing",
            "Choose the standing",
            "Save for",
            StandingForAll,
            _of(SetStanding, "standing"),
            SetStanding,
        ),
        MenuAct(
            "gone",
            "Record what became of them",
            "Save for",
            DepartureForm,
            _of(DepartFinds, "standing", "on", "reason"),
            DepartFinds,
        ),
        MenuAct("share", "Share with visitors", "Share", NothingToAsk, _of(ShareFinds), ShareFinds),
        MenuAct("unshare", "Stop sharing", "Stop sharing", NothingToAsk, _of(StopSharing), StopSharing),
        MenuAct("promise", "Promise to somebody", "Promise", PromiseForm, _promise, PromiseFinds),
        MenuAct("words", "Add words", "Add to", WordsForAll, _of(AddWords, "words"), AddWords),
        MenuAct("town", "Choose the town", "Save for", TownForAll, _town, SetTown, tries=True),
        MenuAct("bottler", "Choose the bottler", "Save for", BottlerForAll, _bottler, SetBottler, tries=True),
        MenuAct("kind", "Choose the kind", "Save for", KindForAll, _of(SetKind, "kind"), SetKind),
        MenuAct(
            "twins", "Save as a match", "Save the match of", NothingToAsk, _of(MatchAsTwins), MatchAsTwins
        ),
        MenuAct("soak", "Soak", "Soak", SoakForAll, _of(IntoSoak, "soak"), IntoSoak),
        MenuAct("bath", "Plan for a bath", "Plan with", BathForAll, _of(ForBath, "bath"), ForBath),
        MenuAct("bin", "Delete", "Delete", NothingToAsk, _of(PutInBin), PutInBin),
    )
}
LABELS = "labels"


@register.simple_tag
def many_acts() -> Iterable[MenuAct]:
    """Each act in the order of the bar."""
    return MENU.values()
