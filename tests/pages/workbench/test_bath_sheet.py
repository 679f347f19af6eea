"""The sheet for the wall and the treatment record as printed pages."""

import re

import pytest

from catalogue.care.models import BenchPhoto, Treatment
from catalogue.care.services import start_load, take_out_of_bath
from catalogue.photos.services import take_in
from catalogue.specimens.services import Parts
from tests import factories as make
from tests.care.makers import bath, crusted, tub
from tests.labels.rendering import pages, words
from tests.pages.pictures import picture

pytestmark = pytest.mark.django_db


def sheet(client, planned, size: str = "") -> bytes:
    answer = client.get(f"/workbench/baths/{planned.pk}/sheet.pdf{size}")
    assert answer["Content-Type"] == "application/pdf"
    return answer.content


@pytest.mark.parametrize("count", [1, 2, 6, 12, 24, 40])
@pytest.mark.parametrize("size", ["", "?size=Letter"])
def test_it_is_one_page_however_many_pieces(owner_client, count: int, size: str) -> None:
    big = tub(top_mm=900, bottom_mm=900, height_mm=600)
    planned = bath(*(crusted(f"Crusted soda bottle number {n}") for n in range(count)), vessel=big)
    made = sheet(owner_client, planned, size)
    assert len(pages(made, dpi=30)) == 1
    text = words(made)
    # what tells pieces apart is never cut short
    flat = " ".join(text.split())
    assert flat.count("base 62 mm, height 240 mm") == min(count, 24)
    for number in planned.members.values_list("find__number", flat=True)[: min(count, 24)]:
        assert number in text
    assert ("more are on the screen" in text) is (count > 24)


def test_it_says_lines_steps_times_cautions_and_how_to_tell_pieces_apart(owner_client) -> None:
    find = crusted("Squat soda", Parts(readings=[make.reading("T&H", right="24")]))
    planned = bath(find)
    before = words(sheet(owner_client, planned))
    flat = " ".join(before.split())
    assert "mm above the second ring" in flat
    assert flat.index("of cold water into") < flat.index("of the acid slowly into the water")
    assert "base 62 mm, height 240 mm" in flat
    assert "T&H 24" in flat
    assert "never water on to acid" in flat
    assert "safety data sheet" in flat
    assert flat.count("none") >= 1 and "some" in flat and "much" in flat
    load = start_load(planned)
    after = " ".join(words(sheet(owner_client, planned)).split())
    assert f"{load.began_at.astimezone():%H:%M}" in after


def test_nothing_on_it_leaves_its_frame(owner_client) -> None:
    """First aid and what to defer to stand inside their frame: just below its foot there is white."""
    planned = bath(crusted("One"), crusted("Two"))
    page = pages(sheet(owner_client, planned), dpi=100)[0].convert("L")
    wide, tall = page.size
    ruled = [y for y in range(tall) if sum(page.getpixel((x, y)) < 170 for x in range(wide)) > 0.8 * wide]
    lines = [y for y, above in zip(ruled, [-9, *ruled], strict=False) if y - above > 3]
    # from the bottom: the pieces' foot and top, then the frame's foot
    foot = lines[-3]
    assert page.crop((0, foot + 3, wide, foot + 6)).getextrema()[0] > 200


def test_a_piece_that_is_out_says_when(owner_client) -> None:
    load = start_load(bath(crusted("One"), crusted("Two")))
    first = load.members.first()
    take_out_of_bath(first, "none")
    first.refresh_from_db()
    flat = " ".join(words(sheet(owner_client, load.bath)).split())
    assert len(re.findall(r"\bout \d\d:\d\d", flat)) == 1


def test_the_picture_before_stands_beside_the_piece(owner_client, data_folder) -> None:
    find = crusted()
    planned = bath(find)
    bare = sheet(owner_client, planned)
    take_in(picture(colour=(10, 20, 30)), subject=find, role="before")
    take_in(picture("b.jpg", (200, 210, 220)), subject=find, role="after")
    pictured = sheet(owner_client, planned)
    assert pages(bare, 60)[0].tobytes() != pages(pictured, 60)[0].tobytes()
    # the dark picture before the work, not the pale one after it
    assert dark(pictured) > 1.5 * dark(bare)


def dark(pdf: bytes) -> int:
    """Dots as dark as the picture before."""
    return sum(pages(pdf, 60)[0].histogram()[10:30])


def test_any_text_prints(owner_client) -> None:
    odd = crusted("مركز 🧪 <b>" + "x" * 150)
    made = sheet(owner_client, bath(odd, vessel=tub("Wanne für Säure 🧪", rings=())))
    assert len(pages(made, dpi=30)) == 1


def test_a_bath_that_cannot_be_worked_out_still_prints_its_pieces(owner_client) -> None:
    find = crusted()
    made = sheet(owner_client, bath(find, vessel=tub("Cup", (), top_mm=60, bottom_mm=60, height_mm=60)))
    assert find.number in words(made)


def test_the_treatment_record_is_one_page_however_long_the_life(owner_client) -> None:
    find = crusted()
    take_out_of_bath(start_load(bath(find)).members.get(), "some", note="lip rough")
    short = owner_client.get(f"/workbench/{find.number}/record.pdf").content
    assert "lip rough" in " ".join(words(short).split()) and len(pages(short, dpi=30)) == 1
    for n in range(150):
        Treatment.objects.create(
            find=find, method="other", begun="2024-01-01T10:00Z", note=f"Time {n} " + "word " * 400
        )
    long = owner_client.get(f"/workbench/{find.number}/record.pdf?size=Letter").content
    assert len(pages(long, dpi=30)) == 1
    assert "earlier lines are in the catalogue" in " ".join(words(long).split())


def test_pictures_of_the_bench_survive_the_sweep(owner_client, data_folder) -> None:
    from catalogue.photos.services.set_aside import without_row

    planned = bath(crusted())
    owner_client.post(f"/workbench/bath/{planned.pk}/picture/", {"picture": picture()})
    assert BenchPhoto.objects.count() == 1
    assert without_row() == []
