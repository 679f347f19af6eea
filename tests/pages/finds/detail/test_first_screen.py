"""The next movement of the hand that a find's first screen offers, and its doubt in one sentence."""

import datetime

import pytest

from catalogue.care.models import Check, Treatment
from catalogue.care.piece_facts import know
from catalogue.care.services import log_treatment
from catalogue.pages.finds.detail.first_screen import doubt_of, hand_acts
from catalogue.pages.parts.dated import Dated
from catalogue.photos.models import Photo
from catalogue.photos.queries import Gallery
from catalogue.specimens.models import Specimen
from tests import factories as make

pytestmark = pytest.mark.django_db
DAY = datetime.datetime(2025, 9, 1, 10, 0, tzinfo=datetime.UTC)
DATED = Dated("1931", reasons=["a reason"])  # type: ignore[list-item]


def offered(find: Specimen, *, pictured: bool = True, dated: Dated = DATED) -> list[str]:
    find = Specimen.objects.get(pk=find.pk)
    return [act.words for act in hand_acts(find, know(find), dated, Gallery(find, [Photo()] * pictured))]


def test_a_wet_piece_is_soaked_and_what_was_done_is_not_offered_again() -> None:
    find = make.find("Bottle")
    assert offered(find) == ["Start fresh-water soak", "Edit", "Add a picture"]
    log_treatment(Treatment(find=find, method="soak", begun=DAY, ended=DAY), stage="cleaning")
    assert offered(find)[0] == "Start soap and brush"


@pytest.mark.parametrize("hazard", ["sealed", "munition", "remains"])
def test_a_piece_that_is_left_alone_is_offered_no_treatment(hazard: str) -> None:
    find = make.find("Bottle")
    Check.objects.create(find=find, found=[hazard])
    assert offered(find) == ["Edit", "Add a picture", "Print label"]


def test_glass_that_falls_apart_is_not_sent_to_a_soak() -> None:
    find = make.find("Bottle")
    Check.objects.create(find=find, found=["unstable"])
    assert offered(find)[0] == "Open on the bench"


def test_a_dry_one_goes_on_by_one_tap() -> None:
    find = make.find("Bottle", stage="drying")
    first = hand_acts(find, know(find), DATED, Gallery(find, []))[0]
    assert (first.name, first.value) == ("stage", "done")


def test_a_done_one_lacks_a_picture_then_a_place_then_its_years_then_nothing() -> None:
    find = make.find("Bottle", stage="done")
    assert offered(find, pictured=False)[0] == "Add a picture"
    assert offered(find)[0] == "Move it to a shelf"
    find = make.find("Bottle", stage="done", place=make.place())
    assert offered(find, dated=Dated("not yet dated"))[0] == "Record what you see"
    assert offered(find) == ["Edit", "Add a picture", "Print label"]


def test_one_that_is_gone_is_only_recorded() -> None:
    assert offered(make.find("Bottle", standing="lost")) == ["Edit", "Add a picture", "Print label"]


def test_its_doubt_is_one_sentence_after_another() -> None:
    find = make.find("Bottle")
    find.maker, find.maker_how, find.maker_probability = make.brackwater(), "likely", 0.9
    dated = Dated("about 1900 to 1920", age="about 106 to 126 years old", likely="1905–1915")
    assert doubt_of(find, dated) == (
        "About 106 to 126 years old. 90 % sure: 1905–1915. "
        "90 % sure it is a piece by Brackwater Bottle Company."
    )
    assert doubt_of(make.find("Bottle"), Dated("not yet dated")) == ""
