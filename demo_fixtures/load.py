"""Fill an empty catalogue with the demo: invented finds, real services, pictures kept ready."""

from collections.abc import Mapping
from pathlib import Path

from django.db import transaction

from catalogue.common.models import HouseSettings
from catalogue.photos.models import LaidPair, Photo
from catalogue.photos.models.laid_pair import before_and_after
from catalogue.photos.models.photo import Subject
from catalogue.photos.renditions import keep_cut
from catalogue.photos.services import take_in
from catalogue.specimens.models import Specimen

from .bench import set_up_bench
from .loading import Scenario
from .plan import Planned, laid_marks, planned
from .scenario import backlog, documented, table

PICTURES = Path(__file__).parent / "pictures"


class NotEmpty(RuntimeError):
    """The catalogue holds finds already: the demo is never mixed with somebody's own."""


@transaction.atomic
def fill() -> None:
    """Load the scenario, whole or not at all.

    Raises NotEmpty where there are finds already, the bin included.
    """
    if Specimen.everything.exists():
        raise NotEmpty("This catalogue has finds of its own; the demo only fills an empty one.")
    scenario = Scenario()
    scenario.load_trade()
    scenario.load_waters()
    for row in documented():
        find = scenario.load_find(row)
        scenario.load_care(find, row)
        scenario.load_opinions(find, row)
        scenario.load_giving(find, row)
    shelf = table("finds_backlog")["shelf"]
    for row in backlog():
        find = scenario.load_find(row | {"place": shelf})
        scenario.load_care(find, row)
    for plan in planned():
        _take_in(scenario, plan)
    for number, row in enumerate(documented()):
        if row.get("draw", {}).get("laid"):
            _lay(scenario.finds[row["key"]], laid_marks(row, seed=number + 1))
    set_up_bench()
    HouseSettings(
        owner_name="Velmoor Sound bottles",
        ask_line="Ask at the boat shed, or leave a note at the ferry office.",
    ).save()


def _lay(find: Specimen, marks: list[list[float]]) -> None:
    """The picture before the work on the one after it, by places that both show."""
    pair = before_and_after(Photo.objects.of(find).in_order())
    if pair:
        LaidPair.objects.create(find=find, before=pair.before, after=pair.after, marks=marks)


def _take_in(scenario: Scenario, plan: Planned) -> None:
    file = PICTURES / plan.file
    if not file.exists():
        return
    kind, _, key = plan.subject.rpartition(":")
    subjects: dict[str, Mapping[str, Subject]] = {
        "": scenario.finds,
        "site": scenario.sites,
        "place": scenario.places,
    }
    caption = f"lamp at {plan.lamp_deg:.0f}° from the top, chalked" if plan.kind == "lamp" else ""
    photo = take_in(file, subject=subjects[kind][key], role=plan.role, caption=caption)
    made = file.with_suffix(".webp")
    if made.exists():
        keep_cut(photo.sha256, made.read_bytes())
