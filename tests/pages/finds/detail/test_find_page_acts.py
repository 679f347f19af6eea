"""What is done to a find from its page."""

import datetime

import pytest

from catalogue.people.models import Person
from catalogue.specimens.models import Move, Opinion, Specimen
from catalogue.specimens.services import give_opinion
from tests import factories as make

pytestmark = pytest.mark.django_db

POSTS = ("move", "share", "opinion", "opinion/1/withdraw", "match", "unmatch", "part", "bin", "put-back")


@pytest.fixture
def find() -> Specimen:
    return make.find("Squat soda", place=make.place("Bench"))


def post(client, find: Specimen, act: str, **data):
    return client.post(f"/finds/{find.number}/{act}/", data)


def fresh(find: Specimen) -> Specimen:
    return Specimen.everything.get(pk=find.pk)


@pytest.mark.parametrize("act", POSTS)
def test_only_a_form_is_taken(owner_client, find: Specimen, act: str) -> None:
    assert owner_client.get(f"/finds/{find.number}/{act}/").status_code == 405


@pytest.mark.parametrize("act", POSTS)
def test_no_such_find(owner_client, act: str) -> None:
    assert owner_client.post(f"/finds/2025.9.9/{act}/").status_code == 404


@pytest.mark.parametrize("act", POSTS)
def test_a_visitor_may_not(client, find: Specimen, act: str) -> None:
    before = fresh(find).changed
    answer = client.post(f"/finds/{find.number}/{act}/", {"shared": "yes", "what": "x", "value": "x"})
    assert answer.status_code == 302
    assert answer["Location"].startswith("/enter/")
    assert fresh(find).changed == before


def test_it_moves_and_the_move_is_written_down(owner_client, find: Specimen) -> None:
    shelf = make.place("Hall case")
    assert post(owner_client, find, "move", place=shelf.pk, why="cleaned").status_code == 302
    assert fresh(find).place == shelf
    move = Move.objects.filter(find=find).first()
    assert move is not None
    assert (str(move.from_place), str(move.to_place), move.why) == ("Bench", "Hall case", "cleaned")
    post(owner_client, find, "move", place="")
    assert fresh(find).place is None


@pytest.mark.parametrize("place", ["999999", "somewhere", "-1"])
def test_a_place_that_is_none_is_refused(owner_client, find: Specimen, place: str) -> None:
    moves = Move.objects.count()
    answer = post(owner_client, find, "move", place=place, why="typed reason")
    assert answer.status_code == 422
    html = answer.content.decode()
    assert "typed reason" in html
    assert 'role="alert"' in html
    assert Move.objects.count() == moves


def test_it_is_shared_and_no_longer(owner_client, find: Specimen) -> None:
    post(owner_client, find, "share", shared="yes")
    assert fresh(find).shared
    post(owner_client, find, "share", shared="no")
    assert not fresh(find).shared
    assert post(owner_client, find, "share", shared="perhaps").status_code == 400


def test_an_opinion_on_the_maker(owner_client, find: Specimen) -> None:
    maker = make.brackwater()
    answer = post(
        owner_client,
        find,
        "opinion",
        about="maker",
        value="brackwater bottle company",
        on="2025-03-01",
        by_name="Orla Finch",
        reason="Seen beside another",
    )
    assert answer.status_code == 302
    opinion = Opinion.objects.get(find=find)
    assert (opinion.maker, str(opinion.by), opinion.current) == (maker, "Orla Finch", True)
    assert (fresh(find).maker, fresh(find).maker_how) == (maker, "opinion")


def test_a_later_opinion_takes_the_place_of_the_first(owner_client, find: Specimen) -> None:
    for value in ("about 1900", "about 1920"):
        post(owner_client, find, "opinion", about="made", value=value, on="2025-03-01")
    assert list(Opinion.objects.filter(find=find, current=True).values_list("value", flat=True)) == [
        "about 1920"
    ]
    assert Opinion.objects.filter(find=find).count() == 2
    # it stands beside the answer and never feeds it
    assert fresh(find).made_words == "not yet dated"


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"about": "maker", "value": "Brackwater Botle Co"}, "Near it: Brackwater Bottle Company"),
        ({"value": ""}, "This field is required."),
        ({"about": "colour"}, "none of the choices"),
        ({"value": "x" * 10_000}, "200 go in"),
        ({"on": "3000-01-01"}, "This day is in the future."),
        ({"on": "yesterday"}, "Enter a valid date."),
        ({"by_name": "x" * 10_000}, "200 go in"),
    ],
)
def test_an_opinion_that_can_not_be_taken(owner_client, find: Specimen, change: dict, why: str) -> None:
    make.brackwater()
    data = {"about": "made", "value": "about 1900", "on": "2025-03-01", "reason": "kept as typed"} | change
    answer = post(owner_client, find, "opinion", **data)
    assert answer.status_code == 422
    html = answer.content.decode()
    assert why in html
    assert "kept as typed" in html
    assert not Opinion.objects.exists()
    assert not Person.objects.exists()


def test_an_opinion_is_withdrawn_and_stays_on_record(owner_client, find: Specimen) -> None:
    day = datetime.date(2025, 3, 1)
    opinion = give_opinion(Opinion(find=find, about="made", value="about 1900", on=day))
    post(owner_client, find, f"opinion/{opinion.pk}/withdraw")
    assert not Opinion.objects.get(find=find).current
    # a second tap, or another find's opinion, finds none to withdraw
    assert post(owner_client, find, f"opinion/{opinion.pk}/withdraw").status_code == 404


def test_finds_are_matched_by_number_and_part_again(owner_client, find: Specimen) -> None:
    other = make.find("Squat soda, the other")
    assert post(owner_client, find, "match", number=f" {other.number} ").status_code == 302
    assert fresh(find).twin_group == fresh(other).twin_group is not None
    post(owner_client, find, "unmatch")
    assert fresh(find).twin_group is None
    assert fresh(other).twin_group is None


@pytest.mark.parametrize(
    ("number", "why"),
    [
        ("2025.9.9", "There is no find 2025.9.9."),
        ("fourteen", "Write the number as on its label"),
        ("", "required"),
    ],
)
def test_a_number_that_leads_nowhere_matches_nothing(
    owner_client, find: Specimen, number: str, why: str
) -> None:
    answer = post(owner_client, find, "match", number=number)
    assert answer.status_code == 422
    assert why in answer.content.decode()
    assert fresh(find).twin_group is None


def test_a_find_is_not_its_own_twin(owner_client, find: Specimen) -> None:
    answer = post(owner_client, find, "match", number=find.number)
    assert answer.status_code == 422
    assert "its own twin" in answer.content.decode()


def test_a_part_gets_the_same_number_with_a_letter(owner_client, find: Specimen) -> None:
    answer = post(owner_client, find, "part", what="Stopper")
    assert answer["Location"] == f"/finds/{find.number}a/"
    assert Specimen.objects.get(number=f"{find.number}a").what == "Stopper"
    assert post(owner_client, find, "part", what="").status_code == 422
    assert post(owner_client, find, "part", what="x" * 300).status_code == 422
    assert Specimen.objects.count() == 2


def test_after_z_no_part_is_left(owner_client, find: Specimen) -> None:
    for _ in range(26):
        assert post(owner_client, find, "part", what="Shard").status_code == 302
    answer = post(owner_client, find, "part", what="Shard")
    assert answer.status_code == 422
    assert "already has parts a to z" in answer.content.decode()


def test_into_the_bin_and_out_again(owner_client, find: Specimen) -> None:
    assert post(owner_client, find, "bin").status_code == 302
    assert not Specimen.objects.filter(pk=find.pk).exists()
    html = owner_client.get(find.get_absolute_url()).content.decode()
    assert "is in the bin" in html
    assert "Restore it" in html
    # nothing else is done to what lies in the bin
    assert post(owner_client, find, "share", shared="yes").status_code == 404
    post(owner_client, find, "put-back")
    assert Specimen.objects.filter(pk=find.pk).exists()
    assert post(owner_client, find, "put-back").status_code == 404
