"""One piece at the bench."""

import re
from datetime import date

import pytest
from django.utils import timezone

from catalogue.care.models import (
    Check,
    ConditionReport,
    Tool,
    ToolUse,
    Treatment,
    WorkStep,
)
from catalogue.care.services import bring_usual_kit, start_load
from catalogue.specimens.models import Inscription, Specimen
from catalogue.specimens.services import Parts
from tests import factories as make
from tests.care.makers import bath, crusted

from .pages import html

pytestmark = pytest.mark.django_db


def test_a_look_is_written_down(owner_client) -> None:
    find = crusted(looked=False)
    here = f"/workbench/{find.number}/"
    assert "Nobody has checked its glass" in html(owner_client.get(here))
    owner_client.post(f"{here}look/", {"found": ["crack", "metal"]})
    owner_client.post(f"{here}look/", {})
    assert Check.objects.get().found == ["crack", "metal"]
    assert owner_client.post(f"{here}look/", {"found": "hold"}).status_code == 400
    page = html(owner_client.get(here))
    assert "Crack or flash" in page and "hydrogen" in page
    assert owner_client.post(f"{here}aim/", {"look": "shiny"}).status_code == 400
    owner_client.post(f"{here}aim/", {"look": "growth"})
    assert Specimen.objects.get().look == "growth"


def test_no_look_before_acid_is_asked_of_a_piece_that_is_left_alone(owner_client) -> None:
    find = crusted(looked=False)
    report = ConditionReport.objects.create(find=find, on=date(2025, 6, 2), grade="fragile")
    report.damages.create(kind="munition")
    assert "Nobody has checked its glass" not in html(owner_client.get(f"/workbench/{find.number}/"))


def test_two_taps_record_what_worked(owner_client) -> None:
    find = crusted()
    here = f"/workbench/{find.number}/clean/"
    assert "The kit is empty" in html(owner_client.get(here))
    owner_client.post("/workbench/kit/usual/")
    brush = Tool.objects.get(name="toothbrush")
    owner_client.post(f"{here}use/", {"worked": f"{brush.pk}-yes"})
    page = html(owner_client.get(here))
    assert "1 pass" in page and "green scouring pad" in page
    owner_client.post(f"{here}undo/{ToolUse.objects.get().pk}/")
    assert not ToolUse.objects.exists()
    for wrong in ("", "7", f"{brush.pk}-maybe", "x-yes", f"{brush.pk}-"):
        assert owner_client.post(f"{here}use/", {"worked": wrong}).status_code == 400
    assert owner_client.post(f"{here}use/", {"worked": "99999-yes"}).status_code == 404
    owner_client.post(f"{here}use/", {"worked": f"{brush.pk}-yes"})
    assert owner_client.post(f"{here}finish/", {"result": "gleaming"}).status_code == 400
    owner_client.post(f"{here}finish/", {"result": "clean"})
    assert Specimen.objects.get().stage == "drying"


def test_rough_pads_are_not_offered_on_fired_labels(owner_client) -> None:
    bring_usual_kit()
    find = make.find("Soda", Parts(inscriptions=[Inscription(text="BRINE UP", how="fired")]))
    page = html(owner_client.get(f"/workbench/{find.number}/clean/"))
    assert "green scouring pad" not in page and "soft cloth" in page
    pad = Tool.objects.get(name="green scouring pad")
    owner_client.post(f"/workbench/{find.number}/clean/use/", {"worked": f"{pad.pk}-yes"})
    assert not ToolUse.objects.exists()


def test_the_log_of_others_ranks_the_kit(owner_client) -> None:
    bring_usual_kit()
    pick, brush = Tool.objects.get(name="toothbrush"), Tool.objects.get(name="soft cloth")
    for n in range(3):
        other = crusted(f"Other {n}")
        owner_client.post(f"/workbench/{other.number}/clean/use/", {"worked": f"{pick.pk}-yes"})
        owner_client.post(f"/workbench/{other.number}/clean/use/", {"worked": f"{brush.pk}-no"})
    page = html(owner_client.get(f"/workbench/{crusted('New').number}/clean/"))
    assert "Worked on 3 of 3 pieces like it" in page
    assert "Worked on 0 of 3 pieces like it" in page
    begin = page.index("begin here")
    assert page.rindex("kit-name", 0, begin) == page.rindex("toothbrush", 0, begin) - len('kit-name">')


def test_after_no_use_the_list_moves_on(owner_client) -> None:
    bring_usual_kit()
    find = crusted()
    here = f"/workbench/{find.number}/clean/"
    cloth = Tool.objects.get(name="soft cloth")

    def begins() -> dict[str, str]:
        parts = owner_client.get(here).context["kit"]
        return {part.where: each.tool.name for part in parts for each in part.tools if each.first}

    assert begins() == {"outside": "soft cloth", "inside": "soft sponge on a bent wire"}
    owner_client.post(f"{here}use/", {"worked": f"{cloth.pk}-no"})
    # The other side's list stays where it was.
    assert begins() == {"outside": "toothbrush", "inside": "soft sponge on a bent wire"}
    page = html(owner_client.get(here))
    outside = page[page.index("For the outside") : page.index("For the inside")]
    assert "No use on this piece" in outside and "bottle brush" not in outside
    assert outside.rindex("soft cloth") > outside.rindex("steel pick")
    # A new cleaning another day goes on where this one was.
    owner_client.post(f"{here}finish/", {"result": "better"})
    assert begins()["outside"] == "toothbrush"
    owner_client.post(f"{here}undo/{ToolUse.objects.get().pk}/")
    assert begins()["outside"] == "soft cloth"


def test_the_advice_ticks_what_is_done(owner_client) -> None:
    find = crusted()
    here = f"/workbench/{find.number}/"
    assert "was-done" not in html(owner_client.get(here))
    begun = timezone.now()
    Treatment.objects.create(find=find, method="soak", begun=begun, ended=begun)
    for address in (here, find.get_absolute_url()):
        page = html(owner_client.get(address))
        assert page.count('class="was-done"') == 1
        ticked = page[page.index('class="was-done"') :]
        assert "Fresh-water soak" in ticked[:200] and "Done " in ticked[:400]


def test_the_checklist(owner_client) -> None:
    find = crusted(look="growth")
    here = f"/workbench/{find.number}/growth-kept/"
    html(owner_client.get(here))
    owner_client.post(here, {"step": "scrape", "act": "begin"})
    owner_client.post(here, {"step": "scrape", "act": "done", "note": "Left the tubes"})
    owner_client.post(here, {"step": "scrape", "act": "done"})
    assert WorkStep.objects.get().treatment.note == "Left the tubes"
    assert "Left the tubes" in html(owner_client.get(here))
    assert owner_client.post(here, {"step": "polish", "act": "done"}).status_code == 400


def test_which_one_is_this(owner_client) -> None:
    one = crusted("One", base_mm=62, height_mm=240)
    two = crusted("Two", base_mm=46, height_mm=142)
    page = html(owner_client.get("/workbench/which/?base=46,5&height=141"))
    assert page.index(two.number) < page.index(one.number)
    load = start_load(bath(one))
    page = html(owner_client.get(f"/workbench/which/?base=46&bath={load.bath_id}"))
    assert two.number not in page and one.number in page
    for bad in ("-1", "nan", "x", "9999"):
        html(owner_client.get(f"/workbench/which/?base={bad}"), 422)
    html(owner_client.get("/workbench/which/?mark=<script>&bath=abc"))


def test_first_aid_names_its_sources(owner_client) -> None:
    page = html(owner_client.get("/workbench/first-aid/"))
    for words in ("5 ppm", "45 ppm", "OSHA", "NIOSH", "fit to drink", "from memory, check", "computed"):
        assert words in page


def test_nothing_is_done_to_a_sealed_piece(owner_client) -> None:
    bring_usual_kit()
    find = crusted(found=("sealed",))
    page = html(owner_client.get(f"/workbench/{find.number}/clean/"))
    assert "Leave it alone" in page and "kit-one" not in page
    cloth = Tool.objects.get(name="soft cloth")
    owner_client.post(f"/workbench/{find.number}/clean/use/", {"worked": f"{cloth.pk}-yes"})
    assert not ToolUse.objects.exists()


def test_what_is_known_stands_ticked_and_one_tap_keeps_it(owner_client) -> None:
    find = crusted(found=("crack",))
    page = html(owner_client.get(f"/workbench/{find.number}/"))
    assert 'value="crack" checked' in page and "nothing besides what is ticked" in page
    owner_client.post(f"/workbench/{find.number}/look/", {"found": "crack", "nothing": "1"})
    assert Check.objects.first().found == ["crack"]


def test_a_forbidden_treatment_asks_for_a_reason_and_can_still_be_written_down(owner_client) -> None:
    find = crusted(found=("lead",))
    begun = {"method": "acid-bath", "begun": "2025-06-01T10:00"}
    address = f"/workbench/{find.number}/treatment/"
    assert "draws the lead out" in html(owner_client.post(address, begun), 422)
    owner_client.post(address, {**begun, "override_reason": "Done before I knew"})
    assert find.treatments.get().override_reason == "Done before I knew"


def test_the_finds_page_says_what_may_be_done_until_it_is_done(owner_client) -> None:
    find = crusted()
    assert "What may be done to it" in owner_client.get(find.get_absolute_url()).content.decode()
    Specimen.objects.update(stage="done")
    assert "What may be done to it" not in owner_client.get(find.get_absolute_url()).content.decode()


def test_a_note_that_is_too_long_is_not_cut_off_without_a_word(owner_client) -> None:
    here = f"/workbench/{crusted(look='growth').number}/growth-kept/"
    owner_client.post(here, {"step": "scrape", "act": "begin"})
    box = re.findall(r'<input[^>]*name="note"[^>]*>', html(owner_client.get(here)))[0]
    assert "maxlength" not in box
    typed = "w" * 199 + " and the <end> of it"
    said = owner_client.post(here, {"step": "scrape", "act": "done", "note": typed}, follow=True)
    assert WorkStep.objects.get().treatment.note == "w" * 199
    words = html(said)
    assert "219 letters, and 200 go in" in words and "“and the &lt;end&gt; of it”" in words
