"""Measuring a find in a picture: two taps on a scale, two on the bottle."""

from decimal import Decimal

import pytest

from catalogue.photos.models import Photo, PictureScale
from catalogue.photos.services import take_in
from catalogue.specimens.models import Specimen
from tests import factories as make
from tests.photos.drawn import jpeg

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("data_folder")]
# On a picture of 400 × 200: the scale is 100 pixels, the bottle 160 pixels high.
TAPS = {"s1": "10, 90", "s2": "35, 90", "b1": "50, 10", "b2": "50, 90"}


@pytest.fixture
def pictured() -> tuple[Specimen, Photo]:
    find = make.find("Squat soda", height_mm=150)
    return find, take_in(jpeg(width=400, height=200), subject=find)


def asked(photo: Photo, **more: str) -> dict[str, str]:
    return {"photo": str(photo.pk), "scale_mm": "100", "what": "height_mm"} | TAPS | more


def page_of(client, find: Specimen, data: dict[str, str]):
    return client.get(f"/finds/{find.number}/measure/", data)


def fresh(find: Specimen) -> Specimen:
    return Specimen.objects.get(pk=find.pk)


def test_a_size_with_its_error_and_nothing_written_yet(owner_client, pictured) -> None:
    find, photo = pictured
    page = page_of(owner_client, find, asked(photo)).content.decode()
    assert "160.0 mm" in page
    assert "give or take" in page
    for cause in ("the scale itself", "where you tapped", "in depth", "the lens"):
        assert cause in page
    assert "On the record now: 150 mm" in page
    assert fresh(find).height_mm == 150


def test_confirmed_it_is_written_and_history_tells_how(owner_client, pictured) -> None:
    find, photo = pictured
    answer = owner_client.post(f"/finds/{find.number}/measure/write/", asked(photo, what="base_mm"))
    assert answer.status_code == 302
    find = fresh(find)
    assert (find.base_mm, find.height_mm) == (Decimal("160.0"), Decimal("150"))
    reasons = [row.history_change_reason or "" for row in find.history.all()]
    assert any(f"measured in picture {photo.pk}: 160.0 mm ±" in reason for reason in reasons)


def test_a_coin_needs_no_length(owner_client, pictured) -> None:
    find, photo = pictured
    page = page_of(owner_client, find, asked(photo, coin="us-quarter", scale_mm="")).content.decode()
    assert "38.8 mm" in page
    assert "published by its mint" in page
    assert "from memory, no source" in page


def test_nearer_to_the_camera_reads_smaller(owner_client, pictured) -> None:
    find, photo = pictured
    page = page_of(owner_client, find, asked(photo, nearer_mm="50", camera_mm="1000")).content.decode()
    assert "152.0 mm" in page


WRONG = [
    ({"s1": ""}, "This field is required"),
    ({"s2": "10, 90"}, "not above 0"),
    ({"b2": "50, 10"}, "not above 0"),
    ({"b1": "here"}, "Give two numbers from 0 to 100"),
    ({"b1": "nan, 5"}, "Give two numbers from 0 to 100"),
    ({"scale_mm": ""}, "or choose the coin"),
    ({"scale_mm": "-4"}, "more than 0"),
    ({"scale_mm": "nan"}, "can&#x27;t be read"),
    ({"scale_mm": "1e9"}, "“e” is no unit"),
    ({"scale_mm": "2000"}, "can&#x27;t be more than 1500 mm"),
    ({"coin": "doubloon"}, "none of the choices"),
    ({"what": "number"}, "none of the choices"),
    ({"camera_mm": "60", "nearer_mm": "80"}, "further away"),
]


@pytest.mark.parametrize(("wrong", "sentence"), WRONG)
def test_wrong_input_is_told_and_writes_nothing(owner_client, pictured, wrong, sentence: str) -> None:
    find, photo = pictured
    shown = page_of(owner_client, find, asked(photo, **wrong))
    assert shown.status_code == 422
    assert sentence in shown.content.decode()
    sent = owner_client.post(f"/finds/{find.number}/measure/write/", asked(photo, **wrong))
    assert sent.status_code == 422
    assert fresh(find).height_mm == 150


def test_a_live_change_gets_the_answer_alone(owner_client, pictured) -> None:
    find, photo = pictured
    path = f"/finds/{find.number}/measure/"
    part = owner_client.get(path, asked(photo), headers={"HX-Request": "true"}).content.decode()
    assert part.strip().startswith('<div id="measured"')
    half = owner_client.get(path, asked(photo, b2=""), headers={"HX-Request": "true"})
    assert half.status_code == 200
    assert "Four points are needed" in half.content.decode()


@pytest.mark.parametrize("key", ("0", "999999", "x", "../1", "9" * 40))
def test_a_picture_that_is_not_there(owner_client, pictured, key: str) -> None:
    find, _ = pictured
    assert page_of(owner_client, find, {"photo": key}).status_code == 404
    sent = owner_client.post(f"/finds/{find.number}/measure/write/", {"photo": key} | TAPS)
    assert sent.status_code == 302
    assert sent["Location"].endswith("/measure/")


def test_without_a_picture_chosen_it_shows_which(owner_client, pictured) -> None:
    find, photo = pictured
    page = page_of(owner_client, find, {}).content.decode()
    assert f"?photo={photo.pk}" in page


def test_the_scale_serves_the_next_size_and_each_give_or_take_is_kept(owner_client, pictured) -> None:
    """Tapped once; kept as shares of the picture, so that it holds for every copy whatever its pixels."""
    find, photo = pictured
    write = f"/finds/{find.number}/measure/write/"
    assert not page_of(owner_client, find, {"photo": photo.pk}).context["scale_known"]
    owner_client.post(write, asked(photo))
    page = page_of(owner_client, find, {"photo": photo.pk})
    form = page.context["form"]
    assert page.context["scale_known"] and "scale of this picture is known" in page.content.decode()
    begun = {name: form[name].value() for name in ("s1", "s2", "scale_mm", "b1", "b2")}
    assert begun == {"s1": "10.00, 90.00", "s2": "35.00, 90.00", "scale_mm": "100 mm", "b1": None, "b2": None}
    # The next size: only the two taps on the bottle are new.
    again = asked(photo, what="diameter_mm", b1="40, 50", b2="60, 50", s1=begun["s1"], s2=begun["s2"])
    owner_client.post(write, again)
    find = fresh(find)
    assert (find.height_mm, find.diameter_mm) == (Decimal("160.0"), Decimal("80.0"))
    errors = {size.column: size.error_mm for size in find.measured_sizes.all()}
    assert set(errors) == {"height_mm", "diameter_mm"} and 0 < errors["diameter_mm"] < errors["height_mm"]
    shown = owner_client.get(find.get_absolute_url()).content.decode()
    for column, mm in (("height_mm", 160), ("diameter_mm", 80)):
        assert f"{mm} ± {errors[column]:.1f} mm" in shown
    # Measured by hand since: what a picture said of it holds no more.
    find.height_mm = 158
    find.save()
    shown = owner_client.get(find.get_absolute_url()).content.decode()
    assert "158 mm" in shown and f"80 ± {errors['diameter_mm']:.1f} mm" in shown


def test_a_coin_as_scale_is_known_again_and_a_new_scale_takes_its_place(owner_client, pictured) -> None:
    find, photo = pictured
    write = f"/finds/{find.number}/measure/write/"
    owner_client.post(write, asked(photo, coin="us-quarter", scale_mm="", once="one"))
    form = page_of(owner_client, find, {"photo": photo.pk}).context["form"]
    assert (form["coin"].value(), form["scale_mm"].value()) == ("us-quarter", None)
    for _ in range(2):
        owner_client.post(write, asked(photo, s1="20, 90", once="two"))
    form = page_of(owner_client, find, {"photo": photo.pk}).context["form"]
    assert (form["coin"].value(), form["scale_mm"].value(), form["s1"].value()) == (
        "",
        "100 mm",
        "20.00, 90.00",
    )
    assert PictureScale.objects.count() == find.measured_sizes.count() == 1


def test_a_visitor_may_not(client, pictured) -> None:
    find, photo = pictured
    for answer in (
        page_of(client, find, asked(photo)),
        client.post(f"/finds/{find.number}/measure/write/", asked(photo)),
    ):
        assert answer.status_code == 302
        assert answer["Location"].startswith("/enter/")
    assert fresh(find).height_mm == 150


def test_wrong_methods(owner_client, pictured) -> None:
    find, _ = pictured
    assert owner_client.post(f"/finds/{find.number}/measure/").status_code == 405
    assert owner_client.get(f"/finds/{find.number}/measure/write/").status_code == 405
