"""Two taps a piece, and the checklist of growth kept."""

import pytest

from catalogue.care.models import Tool, Treatment
from catalogue.care.services import (
    NotThisTool,
    begin_step,
    bring_usual_kit,
    finish_cleaning,
    finish_step,
    undo_tool_use,
    use_tool,
)
from catalogue.care.services.treatments import growth_steps
from catalogue.specimens.models import Inscription
from catalogue.specimens.services import Parts
from tests import factories as make
from tests.care.makers import crusted, tool

pytestmark = pytest.mark.django_db


def test_the_usual_kit_comes_once() -> None:
    assert bring_usual_kit() > 8
    assert bring_usual_kit() == 0
    assert Tool.objects.get(name="green scouring pad").rough


def test_passes_are_counted_in_one_treatment_softest_first() -> None:
    find = make.find("Beer")
    hard, soft = tool("Wooden pick", softness=3), tool("Cloth", softness=1)
    for each, worked in ((hard, "no"), (soft, "some"), (soft, "yes")):
        use_tool(find, each, worked)
    treatment = Treatment.objects.get()
    assert (treatment.tools, treatment.passes, treatment.ended) == ("Cloth, Wooden pick", 3, None)
    finish_cleaning(find, "clean", stage="drying")
    find.refresh_from_db()
    assert find.stage == "drying"
    use_tool(find, soft, "yes")
    assert Treatment.objects.count() == 2
    assert finish_cleaning(make.find("Other"), "clean") is None


def test_a_wrong_tap_is_taken_back() -> None:
    find, brush = make.find("Beer"), tool()
    first, second = use_tool(find, brush, "yes"), use_tool(find, brush, "no")
    undo_tool_use(second)
    assert Treatment.objects.get().passes == 1
    undo_tool_use(first)
    assert Treatment.objects.count() == 0


@pytest.mark.parametrize("how", ["fired", "ghost", "paper"])
def test_a_rough_pad_never_touches_decoration(how: str) -> None:
    find = make.find("Soda", Parts(inscriptions=[Inscription(text="BRINE UP", how=how)]))
    with pytest.raises(NotThisTool):
        use_tool(find, tool("Green pad", softness=4, rough=True), "yes")
    assert Treatment.objects.count() == 0
    assert use_tool(find, tool("Cloth", softness=1), "yes")


def test_gilding_seen_at_a_look_counts_as_decoration() -> None:
    with pytest.raises(NotThisTool):
        use_tool(crusted(found=("painted",)), tool("Green pad", rough=True), "yes")


def test_the_checklist_writes_one_treatment_a_step() -> None:
    find = make.find("Wine", look="growth")
    assert list(growth_steps())[0] == "soak" and list(growth_steps())[-1] == "dry"
    begun = begin_step(find, "scrape").begun_at
    assert begin_step(find, "scrape").begun_at == begun
    work, new = finish_step(find, "scrape", note="Left the worm tubes")
    again, twice = finish_step(find, "scrape")
    assert (new, twice) == (True, False)
    assert work.treatment.note == "Left the worm tubes"
    assert (work.treatment.method, work.treatment.look) == ("scrape", "growth")
    assert Treatment.objects.count() == 1
    with pytest.raises(KeyError):
        begin_step(find, "polish")
