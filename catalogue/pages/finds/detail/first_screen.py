"""What the first screen of a find says and offers: its doubt in one sentence, three acts for the hand."""

from dataclasses import dataclass

from django.urls import reverse

from catalogue.care.acts import Act
from catalogue.care.decision import done_so_far
from catalogue.care.piece_facts import Knowledge
from catalogue.common.text import sentence
from catalogue.common.words import sure
from catalogue.pages.parts.dated import Dated
from catalogue.photos.queries import UNDESCRIBED, Gallery
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.specimen import STANDINGS_GONE

MOST_ACTS = 3


@dataclass(frozen=True, slots=True)
class HandAct:
    """One act: a link, or a button that posts `value` as `name` to the address."""

    words: str
    address: str
    name: str = ""
    value: str = ""


def doubt_of(find: Specimen, dated: Dated) -> str:
    """How old it is and how sure that and its maker are: "100 years old. 90 % sure: 1905–1915." """
    parts = [dated.age, dated.peak]
    if dated.likely:
        parts.append(f"90 % sure: {dated.likely}")
    if find.maker and find.maker_how == Specimen.MakerHow.LIKELY and find.maker_probability is not None:
        parts.append(f"{sure(find.maker_probability)} it is a piece by {find.maker}")
    return " ".join(f"{sentence(part).rstrip('.')}." for part in parts if part)


def hand_acts(find: Specimen, known: Knowledge, dated: Dated, gallery: Gallery) -> list[HandAct]:
    """The next movement of the hand for this piece first, then what else one does most. No query.

    Nothing that is refused to a piece with its hazards is ever offered here.
    """
    edit = HandAct("Edit", reverse("finds:find_edit", args=[find.number]))
    label = HandAct("Print label", f"{reverse('labels:labels')}?find={find.number}")
    picture = HandAct("Add a picture", "#add-picture")
    if find.what == UNDESCRIBED:
        first = [HandAct("Record what it is", edit.address)]
    elif find.standing in STANDINGS_GONE:
        first = [edit, picture, label]
    elif find.stage != Specimen.Stage.DONE:
        first = _of_care(find, known)
    elif not gallery.photos:
        first = [picture]
    elif not find.place_id:
        first = [HandAct("Move it to a shelf", "#place")]
    elif dated.undated:
        first = [HandAct("Record what you see", f"{edit.address}#part-making")]
    else:
        first = []
    named = {act.words for act in first}
    return [*first, *(act for act in (edit, picture, label) if act.words not in named)][:MOST_ACTS]


def _of_care(find: Specimen, known: Knowledge) -> list[HandAct]:
    """The next step of the advice that was not taken yet; nothing for a piece that is left alone."""
    if known.leave_alone:
        return []
    if find.stage == Specimen.Stage.DRYING:
        return [HandAct("Go on: it is dry", reverse("workbench:stage", args=[find.number]), "stage", "done")]
    decision = known.decision
    done = done_so_far(decision, find.treatments.all())
    for verdict in decision.recommended:
        was = done.get(verdict.method.key)
        if was and was.ticked or not verdict.method.logs_as:
            continue
        if verdict.needs_look:
            return [HandAct("Look it over", reverse("workbench:piece", args=[find.number]) + "#look")]
        return [HandAct(f"Start {verdict.method.name}", _address(find, known, verdict.method.logs_as))]
    return [HandAct("Open on the bench", reverse("workbench:piece", args=[find.number]))]


def _address(find: Specimen, known: Knowledge, logs_as: str) -> str:
    """Where a treatment of that kind is begun; the bench's own page where the hazards ask for a reason."""
    if logs_as == "soak" and find.stage == Specimen.Stage.WET and not known.may(Act.SOAK).objections:
        return f"{reverse('workbench:soak_new')}?find={find.number}"
    return reverse("workbench:piece", args=[find.number])
