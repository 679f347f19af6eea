"""The plates as the page gets them: lettering where it belongs, and the lamp's part in it."""

import io

import numpy as np
import pytest
from PIL import Image

from catalogue.photos.plates import surfaces

from .plates_parts import address, rendered, rim_query

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("data_folder")]


def grey(answer) -> np.ndarray:
    assert answer.status_code == 200, answer.content[:300]
    return np.asarray(Image.open(io.BytesIO(answer.content)).convert("L"), dtype=float)


def ring_mask(side: int) -> tuple[np.ndarray, np.ndarray]:
    """The rendered lettering on a round plate of that side, and the ring it stands in."""
    made = rendered()
    reach = 2 * made.radius * 1.06
    left, top = (round(v + 0.5 - reach / 2) for v in made.middle)
    cut = Image.fromarray(made.mask).crop((left, top, left + round(reach), top + round(reach)))
    letters = np.asarray(cut.resize((side, side)))
    y, x = np.mgrid[-1.06 : 1.06 : side * 1j, -1.06 : 1.06 : side * 1j]
    ring = (np.hypot(x, y) > 0.5) & (np.hypot(x, y) < 0.9)
    return letters > 0.6, ring


def test_raised_letters_are_lighter_than_the_ground_beside_them(owner_client, lit) -> None:
    find, photos = lit
    plate = grey(owner_client.get(address(find, "round.jpg", photos, look="raised", **rim_query())))
    letters, ring = ring_mask(plate.shape[0])
    apart = plate[letters & ring].mean() - plate[ring & ~letters].mean()
    single = grey(owner_client.get(address(find, "round.jpg", photos[:1], look="plain", **rim_query())))
    was = single[letters & ring].mean() - single[ring & ~letters].mean()
    assert apart > 40
    assert apart > 5 * abs(was)


def test_the_strip_has_each_letter_where_it_belongs(owner_client, lit) -> None:
    find, photos = lit
    asked = address(find, "strip.jpg", photos, look="raised", start="0", inner="45", **rim_query())
    strip = grey(owner_client.get(asked))
    made = rendered()
    turn_px = strip.shape[1] / 1.2
    # the letters' own ring, a letter's height thick
    rows = [int((1 - share) / 0.55 * strip.shape[0]) for share in (made.share + 0.09, made.share - 0.09)]
    ink = strip[rows[0] : rows[1], : int(turn_px)].mean(axis=0)
    ink = ink - np.median(ink)
    half = turn_px * 0.045
    for turn in made.turns:
        middle = turn / 360 * turn_px
        columns = np.arange(int(middle - half), int(middle + half)) % int(turn_px)
        weight = np.clip(ink[columns], 0, None)
        off = (weight * (np.arange(len(columns)) - half)).sum() / weight.sum()
        assert abs(off) < 0.02 * turn_px, f"the letter at {turn:.0f} degrees stands {off:.1f} columns off"


def test_the_start_moves_the_strip(owner_client, lit) -> None:
    find, photos = lit
    one = grey(owner_client.get(address(find, "strip.jpg", photos[:1], start="0", **rim_query())))
    other = grey(owner_client.get(address(find, "strip.jpg", photos[:1], start="90", **rim_query())))
    turn_px = round(one.shape[1] / 1.2)
    moved = np.roll(one[:, :turn_px], -round(turn_px / 4), axis=1)
    assert (
        np.abs(moved - other[:, :turn_px]).mean()
        < 0.15 * np.abs(one[:, :turn_px] - other[:, :turn_px]).mean()
    )


def test_turned_round_the_plate_lies_otherwise(owner_client, lit) -> None:
    find, photos = lit
    one = grey(owner_client.get(address(find, "round.jpg", photos[:1], turn="0", **rim_query())))
    other = grey(owner_client.get(address(find, "round.jpg", photos[:1], turn="90", **rim_query())))
    # what lay at the right (90 degrees clockwise) is now on top: a quarter turn anticlockwise
    assert np.abs(np.rot90(one) - other).mean() < 0.2 * np.abs(one - other).mean()


def test_the_lamp_lights_the_side_it_stands_on(owner_client, lit) -> None:
    find, photos = lit
    right, left = (
        grey(owner_client.get(address(find, "round.jpg", photos, look="relit", at=at, **rim_query())))
        for at in ("3", "9")
    )
    letters, ring = ring_mask(right.shape[0])
    edge = np.diff(letters.astype(int), axis=1, append=0)
    falling, rising = (edge == -1) & ring, (edge == 1) & ring
    assert right[falling].mean() > right[rising].mean() + 20
    assert left[rising].mean() > left[falling].mean() + 20


def test_the_relief_map_says_how_the_surface_leans(owner_client, lit) -> None:
    find, photos = lit
    page = owner_client.get(address(find, "read/", photos, look="relit", **rim_query())).content.decode()
    scale = float(page.split('data-scale="')[1].split('"')[0])
    answer = owner_client.get(address(find, "relief.png", photos, look="relit", **rim_query()))
    assert answer["Content-Type"] == "image/png"
    colours = np.asarray(Image.open(io.BytesIO(answer.content)), dtype=float)
    lean = (colours[..., 0] - 128) / 127 * scale
    letters, ring = ring_mask(lean.shape[0])
    edge = np.diff(letters.astype(int), axis=1, append=0)
    # right flanks lean to the right, left ones to the left
    assert lean[(edge == -1) & ring].mean() > 0.05
    assert lean[(edge == 1) & ring].mean() < -0.05


@pytest.mark.parametrize("look", ("raised", "relit"))
def test_without_hours_there_is_no_relief(owner_client, lit, look: str) -> None:
    find, photos = lit
    page = owner_client.get(address(find, "read/", photos, lamp="unknown", **rim_query())).content.decode()
    assert 'value="variation"' in page
    assert f'value="{look}"' not in page.split("id_look")[1]
    answer = owner_client.get(address(find, "relief.png", photos, lamp="unknown", **rim_query()))
    assert answer.status_code == 404
    assert "where the lamp stood" in answer.content.decode()


def test_hours_taken_evenly_round_are_those_typed(owner_client, lit) -> None:
    find, photos = lit
    typed = owner_client.get(address(find, "round.jpg", photos, look="raised", **rim_query()))
    around = owner_client.get(address(find, "round.jpg", photos, "around", look="raised", **rim_query()))
    assert typed.content == around.content


def test_no_round_base_shows_the_whole_picture(owner_client, lit) -> None:
    find, photos = lit
    asked = {"whole": "on", "look": "plain"}
    assert grey(owner_client.get(address(find, "round.jpg", photos[:1], **asked))).shape == (320, 320)
    assert owner_client.get(address(find, "strip.jpg", photos[:1], **asked)).status_code == 404


def test_the_surface_is_worked_out_once_for_all_its_plates(owner_client, lit, monkeypatch) -> None:
    find, photos = lit
    done = []
    work_out = surfaces.work_out
    monkeypatch.setattr(surfaces, "work_out", lambda recipe: done.append(recipe) or work_out(recipe))
    for page, look in (("read/", "raised"), ("round.jpg", "raised"), ("strip.jpg", "variation")):
        owner_client.get(address(find, page, photos, look=look, start="40", **rim_query()))
    assert len(done) == 1


def test_a_change_of_look_gets_the_plate_alone(owner_client, lit) -> None:
    find, photos = lit
    asked = address(find, "read/", photos[:1], look="plain", **rim_query())
    part = owner_client.get(asked, headers={"HX-Request": "true"})
    assert part.content.decode().strip().startswith('<div id="plate"')
    assert "HX-Request" in part["Vary"]
