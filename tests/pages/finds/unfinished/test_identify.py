"""What a find lacks, what would help most, and the walk through those that lack something."""

import pytest

from catalogue.photos.queries import (
    BASE_PICTURE,
    READ_BASE,
    UNDESCRIBED,
    inventory_facts,
    missing_facts,
    next_steps,
    unfinished,
)
from catalogue.photos.services import take_in
from catalogue.photos.services.identify_next import mark_passed, queue_position, restart
from catalogue.specimens.models import Inscription, Passed, Specimen
from catalogue.specimens.services import Parts
from tests import factories
from tests.pages.pictures import not_a_picture, picture
from tests.specimens.derived_parts import found

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("data_folder")]
NEXT = "/finds/next/"


def labels(find: Specimen, *, pictured: bool = False) -> list[str]:
    return [fact.label for fact in missing_facts(inventory_facts(find, pictured=pictured))]


def complete(what: str = "Aqua soda", **given: object) -> Specimen:
    """With the seven facts, and dated."""
    if not factories.Maker.objects.filter(name__startswith="Brackwater").exists():
        factories.brackwater()
    known = {"site": factories.site(f"Ledge of {what}"), "place": factories.place(f"Case of {what}")}
    parts = Parts(
        readings=[factories.reading("BW", right="6")], inscriptions=[Inscription(text="QUILL & SONS")]
    )
    return factories.find(what, parts, **(known | given))


def test_there_are_seven_facts_and_three_are_there_with_every_record():
    find = factories.find(UNDESCRIBED)
    facts = inventory_facts(find, pictured=False)
    assert len(facts) == 7
    assert len(missing_facts(facts)) == 4


@pytest.mark.parametrize(
    ("given", "lacks"),
    [
        ({}, []),
        ({"what": UNDESCRIBED}, ["what it is"]),
        ({"place": None}, ["where it is"]),
        ({"place": None, "standing": "handed-over"}, []),
        ({"site": None}, ["where it came from"]),
        ({"site": None, "recovered_edtf": "199X"}, []),
    ],
)
def test_each_fact_by_itself_and_the_queue_agree(given, lacks):
    find = complete(**given)
    assert labels(find) == lacks
    assert unfinished().filter(pk=find.pk).exists() == bool(lacks)


def test_a_picture_notes_or_lettering_each_describe_it():
    bare = {"place": factories.place(), "site": factories.site()}
    find = factories.find("Jar", **bare)
    assert labels(find) == ["a picture or a description"]
    assert labels(find, pictured=True) == []
    assert labels(factories.find("Jar", notes="chipped at the lip", **bare)) == []
    lettered = factories.find("Jar", Parts(inscriptions=[Inscription(text="EGG")]), **bare)
    assert labels(lettered) == []


def test_an_undated_piece_is_unfinished_and_a_lost_one_is_not():
    undated = factories.find("Jar", notes="plain", place=factories.place(), site=factories.site())
    assert list(unfinished()) == [undated]
    undated.standing = "lost"
    undated.save()
    assert not unfinished().exists()


def test_what_helps_most_comes_first():
    find = factories.find(UNDESCRIBED, place=factories.place())
    assert next_steps(find, set(), ["Look at the lip"]) == [
        "Say in a few words what it is.",
        BASE_PICTURE,
        "Look at the lip",
    ]
    assert next_steps(find, {"base"}, [])[1] == READ_BASE
    assert next_steps(complete(), set()) == []


def test_the_walk_goes_on_where_one_was_in_any_browser(owner_client, client, owner):
    first, second = factories.find("Jar"), factories.find("Ink cone")
    assert owner_client.get(NEXT).context["find"] == second
    assert owner_client.get(NEXT).context["find"] == second
    owner_client.post(NEXT, {"act": "skip", "number": second.number})
    client.force_login(owner)
    page = client.get(NEXT)
    assert page.context["find"] == first
    assert "1 to go, 1 passed" in page.content.decode()
    client.post(NEXT, {"act": "back"})
    assert owner_client.get(NEXT).context["find"] == second


def test_through_and_again(owner_client):
    find = factories.find("Jar")
    assert "What it is" in owner_client.get(NEXT).content.decode()
    owner_client.post(NEXT, {"act": "skip", "number": find.number})
    assert "That was the last one" in owner_client.get(NEXT).content.decode()
    owner_client.post(NEXT, {"act": "again"})
    assert owner_client.get(NEXT).context["find"] == find
    assert "where the walk began" in owner_client.post(NEXT, {"act": "back"}, follow=True).content.decode()


def test_with_nothing_unfinished(owner_client):
    complete()
    assert "Nothing is waiting" in owner_client.get(NEXT).content.decode()


def seen(find: Specimen, **said: object) -> dict[str, object]:
    """The form as the page shows it, with something changed."""
    kept = {"what": find.what, "kind": find.kind, "colour": find.colour, "notes": find.notes}
    return {"act": "save", "number": find.number, "place": find.place_id or "", **kept, **said}


def test_what_was_seen_is_kept_and_dated_and_the_walk_goes_on(owner_client):
    factories.brackwater()
    shelf = factories.place()
    find = factories.find(UNDESCRIBED, recovered_edtf="199X")
    page = owner_client.get(NEXT)
    assert page.context["form"].initial["what"] == ""
    assert page.context["form"].initial["recovered"] == "the 1990s"
    answer = owner_client.post(
        NEXT,
        seen(find, what="Aqua soda", kind="soda", town="Marrowby", letters="BW", right="6", place=shelf.pk)
        | {"recovered": "the 1990s", "pictures": picture()},
    )
    assert answer.status_code == 302
    find = Specimen.objects.get()
    assert (find.what, find.kind, find.town.name, find.place) == ("Aqua soda", "soda", "Marrowby", shelf)
    assert find.made_words == "probably one of 1926, 1936, 1946"
    assert find.recovered_edtf == "199X"
    assert find.moves.get().to_place == shelf
    assert find.photos.get().role == "base"
    assert Passed.objects.get().skipped is False
    assert found("marrowby") == [find.what]


def test_only_what_was_changed_is_written(owner_client):
    find = factories.find("Jar", notes="chipped")
    sent = seen(find, colour="aqua")
    Specimen.objects.filter(pk=find.pk).update(region="US", shared=True)
    owner_client.post(NEXT, sent)
    find.refresh_from_db()
    assert (find.colour, find.region, find.shared, find.notes) == ("aqua", "US", True, "chipped")


def test_a_mark_on_record_is_left_alone(owner_client):
    find = factories.find("Jar", Parts(readings=[factories.reading("TH")]))
    assert "letters" not in owner_client.get(NEXT).context["form"].fields
    owner_client.post(NEXT, seen(find, letters="BW"))
    assert [r.letters for r in find.readings.all()] == ["TH"]


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"what": ""}, "This field is required."),
        ({"kind": "teapot"}, "none of the choices"),
        ({"right": "7"}, "Which letters does it stand beside?"),
        ({"recovered": "3050"}, "That is in the future"),
        ({"place": "999"}, "not there to choose"),
        ({"pictures": not_a_picture()}, "isn&#x27;t a picture"),
    ],
)
def test_bad_input_is_said_by_its_field_with_nothing_saved(owner_client, said, sentence):
    find = factories.find("Jar")
    answer = owner_client.post(NEXT, seen(find, notes="green inside") | said)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert "green inside" in answer.content.decode()
    find.refresh_from_db()
    assert find.notes == ""
    assert not Passed.objects.exists()


def test_no_such_find_shelf_or_method_and_a_visitor(owner_client, client):
    assert owner_client.post(NEXT, {"act": "skip", "number": "1999.1.1"}).status_code == 404
    for asked in ("999", "x", "9" * 30):
        assert owner_client.get(NEXT, {"shelf": asked}).status_code == 404
    assert owner_client.put(NEXT).status_code == 405
    assert client.get(NEXT).status_code == 302


def test_only_a_shelf_in_the_order_they_stand():
    from catalogue.photos.models import ShelfBox, ShelfSession

    shelf_place = factories.place()
    photo = take_in(picture(), subject=shelf_place)
    session = ShelfSession.objects.create(photo=photo, place=shelf_place)
    finds = [factories.find("Jar", place=shelf_place) for _ in range(3)]
    for find in finds[1:]:
        edges = {"left_px": 0, "top_px": 0, "right_px": 5, "bottom_px": 5}
        ShelfBox.objects.create(session=session, key=find.number, find=find, **edges)
    assert queue_position(session).find == finds[1]
    mark_passed(finds[1], skipped=True)
    mark_passed(finds[0], skipped=True)
    assert (queue_position(session).find, queue_position(session).ahead, queue_position(session).passed) == (
        finds[2],
        1,
        1,
    )
    assert restart(session) == 1
    assert queue_position().find == finds[2]


def test_the_meter_stands_on_the_finds_page_and_not_on_a_visitors(owner_client, client):
    find = factories.find("Jar", shared=True)
    page = owner_client.get(find.get_absolute_url()).content.decode()
    assert "4 of 7 facts an inventory needs" in page
    assert "Take a picture of its base" in page
    assert "facts an inventory needs" not in client.get(find.get_absolute_url()).content.decode()


def test_the_walk_asks_the_same_however_many_finds(owner_client, django_assert_max_num_queries):
    for n in range(12):
        factories.find(f"Jar {n}", Parts(inscriptions=[Inscription(text="EGG")]))
    # session, owner; the find and its rows of five kinds (opinions with makers), how many ahead and behind;
    # pictures, tables in use (4), places, sites, names to choose from (4)
    with django_assert_max_num_queries(22):
        owner_client.get(NEXT)
