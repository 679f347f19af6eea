"""A find's story: drafted by rules, kept by a person, never overwritten."""

import re

import pytest

from catalogue.pages.finds.story.views import (
    StoryFacts,
    draft,
    listed,
    made_in,
    mark_of,
    story_facts,
    with_article,
)
from catalogue.specimens.models import Inscription, Specimen
from catalogue.specimens.services import Parts
from tests import factories
from tests.specimens.derived_parts import found

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("aqua bottle", "An aqua bottle"),
        ("flask", "A flask"),
        ("umbrella ink", "An umbrella ink"),
        ("uniform set", "A uniform set"),
        ("8-sided ink", "An 8-sided ink"),
        ("Éclair jar", "A Éclair jar"),
        ("", "A "),
    ],
)
def test_article(words, said):
    assert with_article(words) == said


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("1946", "in 1946"),
        ("probably 1946", "probably in 1946"),
        ("one of 1926, 1936, 1946", "in one of the years 1926, 1936 or 1946"),
        ("probably one of 1926, 1936", "probably in one of the years 1926 or 1936"),
        ("about 1870 to 1890", "about 1870 to 1890"),
        ("1964 or later", "in 1964 or later"),
        ("before 1920", "before 1920"),
        ("not yet dated", ""),
        ("the evidence disagrees", ""),
        ("", ""),
    ],
)
def test_every_phrase_of_the_date_goes_into_a_sentence(words, said):
    assert made_in(words) == said


def test_listed():
    assert [listed(["a", "b", "c"][:n]) for n in range(4)] == ["", "a", "a and b", "a, b and c"]


def test_a_full_draft():
    facts = StoryFacts(
        what="Ginger-beer bottle",
        colour="aqua",
        contents="soda or mineral water",
        product="Velmoor Fizz",
        bottler="Quill & Sons",
        town="Marrowby",
        maker="Brackwater Bottle Company",
        maker_likely=True,
        mark="BW",
        made="one of 1926, 1936, 1946",
        age="80, 90 or 100 years old",
        lettering=("QUILL & SONS / MARROWBY",),
        came_up="in June 2024",
        lay="Velmoor Sound",
        depth_m=14.5,
        lie="half buried",
        found_with="a clay pipe.",
        treated=("fresh-water soak", "soap and brush"),
        look="growth",
    )
    assert draft(facts).split("\n\n") == [
        "A ginger-beer bottle. The glass is aqua. It held Velmoor Fizz (soda or mineral water), filled by "
        "Quill & Sons. It is marked for Marrowby; the glass may have been made elsewhere. "
        "On it one reads “QUILL & SONS MARROWBY”.",
        "It was likely made by Brackwater Bottle Company, in one of the years 1926, 1936 or 1946; the mark "
        "reads BW. That makes it 80, 90 or 100 years old.",
        "It lay 14.5 m down, half buried, in Velmoor Sound, and came up in June 2024. "
        "Beside it lay a clay pipe.",
        "Since then: fresh-water soak, soap and brush. Some of its sea growth was kept.",
    ]


def test_the_least_known_piece_still_gets_a_sentence_and_no_guess():
    assert draft(StoryFacts("Jar")) == "A jar."
    assert (
        draft(StoryFacts("BW flask", made="1964 or later")) == "A BW flask.\n\nIt was made in 1964 or later."
    )
    assert draft(StoryFacts("Aqua jar", colour="aqua")) == "An aqua jar."
    named = draft(StoryFacts("Velm bottle, marble missing", colour="aqua", product="Velm Sparkling Water"))
    assert named.startswith("A Velm bottle, marble missing. The glass is aqua. It held Velm")


@pytest.mark.parametrize(
    "name", [n for n in StoryFacts.__slots__ if n not in ("what", "made", "maker_likely")]
)
def test_any_single_fact_makes_whole_sentences(name):
    value = {"lettering": ("EGG",), "treated": ("drying",), "depth_m": 3.0}.get(name, "growth")
    text = draft(StoryFacts("Jar", **{name: value}))
    assert all(part.endswith((".", "”.")) for part in text.split("\n\n"))
    assert not re.search(r"\s[.,;]|  |\.\.|None", text)


def told(**given: object) -> Specimen:
    factories.brackwater()
    parts = Parts(
        readings=[factories.reading("BW", right="6")],
        inscriptions=[Inscription(text="EGG / CO"), Inscription(text="NOT TO BE REFILLED", says="legal")],
    )
    return factories.find("Soda bottle", parts, **given)


def test_facts_come_from_the_record_and_a_hidden_site_is_not_named():
    ledge = factories.site("Heron Ledge", water_body="Velmoor Sound")
    facts = story_facts(told(dive=factories.dive(ledge), town=factories.town()))
    assert (facts.maker, facts.maker_likely, facts.mark) == ("Brackwater Bottle Company", True, "BW")
    assert facts.lettering == ("EGG / CO",)
    assert (facts.came_up, facts.lay, facts.town) == ("in June 2024", "", "Marrowby")
    ledge.show_as, ledge.latitude, ledge.longitude = "rounded", "43.912345", "-51.2"
    ledge.save()
    assert story_facts(Specimen.objects.get()).lay == "Velmoor Sound"
    ledge.show_as = "exact"
    ledge.save()
    assert story_facts(Specimen.objects.get()).lay == "Heron Ledge, Velmoor Sound"


@pytest.mark.parametrize(
    ("noted", "said"),
    [
        ("199X", "in the 1990s"),
        ("1995~", "about 1995"),
        ("1995", "in 1995"),
        ("1990/1999", "between 1990 and 1999"),
        ("", ""),
        ("1990-06", ""),
    ],
)
def test_when_it_came_up_without_a_dive(noted, said):
    assert story_facts(factories.find("Jar", recovered_edtf=noted)).came_up == said


def address(find: Specimen) -> str:
    return f"/finds/{find.number}/story/"


def test_the_page_offers_a_draft_and_saves_nothing_by_itself(owner_client):
    find = told()
    page = owner_client.get(find.get_absolute_url())
    assert "A draft from its facts stands here" in page.content.decode()
    assert "A soda bottle. On it one reads “EGG CO”." in page.content.decode()
    find.refresh_from_db()
    assert find.story == ""


def test_kept_as_edited_and_found_by_search(owner_client):
    find = told()
    sent = {"story": "It rolled out of the silt by itself.\r\nHonestly.", "seen": mark_of("")}
    assert owner_client.post(address(find), sent).status_code == 302
    find.refresh_from_db()
    assert find.story.startswith("It rolled out of the silt")
    assert found("rolled silt") == [find.what]
    # its own page now starts from these words, and shows what a draft would say beside them
    page = owner_client.get(find.get_absolute_url()).content.decode()
    assert "What a draft would say now" in page
    assert "It rolled out of the silt by itself." in page


def test_facts_that_change_later_leave_the_story_alone(owner_client):
    find = told(story="Mine.")
    find.what = "Beer bottle"
    from catalogue.specimens.services import keep_find

    keep_find(find, fields=["what"])
    owner_client.get(find.get_absolute_url())
    find.refresh_from_db()
    assert find.story == "Mine."


def test_a_story_changed_meanwhile_is_shown_and_not_overwritten(owner_client):
    find = told()
    opened = mark_of(find.story)
    owner_client.post(address(find), {"story": "From the phone.", "seen": opened})
    answer = owner_client.post(address(find), {"story": "From the desk.", "seen": opened})
    assert answer.status_code == 422
    text = answer.content.decode()
    assert "changed meanwhile" in text and "From the phone." in text and "From the desk." in text
    find.refresh_from_db()
    assert find.story == "From the phone."
    owner_client.post(address(find), {"story": "From the desk.", "seen": answer.context["seen"]})
    find.refresh_from_db()
    assert find.story == "From the desk."


def test_sent_twice_is_no_quarrel(owner_client):
    find = told()
    for _ in range(2):
        assert owner_client.post(address(find), {"story": "Mine.", "seen": mark_of("")}).status_code == 302


def test_taken_away_again(owner_client):
    find = told(story="Mine.")
    owner_client.post(address(find), {"story": "", "seen": mark_of("Mine.")})
    find.refresh_from_db()
    assert find.story == ""


def test_too_long_wrong_method_no_such_find_and_a_visitor(owner_client, client):
    find = told(shared=True)
    answer = owner_client.post(address(find), {"story": "x" * 10_001, "seen": mark_of("")})
    assert answer.status_code == 422
    assert "10,000 go in" in answer.content.decode()
    assert owner_client.get(address(find)).status_code == 405
    assert owner_client.post("/finds/1999.1.1/story/", {"story": "x"}).status_code == 404
    assert client.post(address(find), {"story": "x"}).status_code == 302
    assert "Write its story" not in client.get(find.get_absolute_url()).content.decode()
    find.refresh_from_db()
    assert find.story == ""
