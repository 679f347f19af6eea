"""The signs of a later copy, ticked on a find: they date it, are on record and can be taken back."""

import pytest

from catalogue.pages.parts.history import history_changes
from catalogue.pages.parts.history_kinds import HISTORY_KINDS
from catalogue.specimens.derived.check import differences
from catalogue.specimens.models import ObservedFeature, Specimen
from catalogue.specimens.services import Parts, keep_find
from tests import factories as make

from .record_form import filled

pytestmark = pytest.mark.django_db
MADE = {"made-body": ["figured-flask"]}
TICKED = {**MADE, "made-copy": ["rep-figured-flask"]}


def offered(client, **fields) -> dict[str, bool]:
    """The signs on the form, and whether each is offered for what was seen."""
    page = client.post("/finds/new/", filled(act="questions", **fields))
    questions = {question.group.key: question for question in page.context["questions"]}
    return {answer.feature.id: answer.fits for answer in questions["copy"].answers}


def test_the_signs_are_asked_of_what_was_copied(owner_client):
    assert not any(offered(owner_client).values())
    of_flask = {name for name, fits in offered(owner_client, **MADE).items() if fits}
    assert of_flask == {"rep-figured-flask", "rep-diamond-flask", "rep-bitters"}
    assert offered(owner_client, colour="cobalt")["rep-poison"]


def test_a_ticked_sign_enters_the_years_while_one_types(owner_client):
    def words(**fields) -> str:
        return owner_client.post("/finds/dating/", filled(**fields)).context["answer"].words

    assert words(**MADE) == "about 1810 to 1880"
    assert words(**TICKED) == "about 1925 to 1990"
    doubtful = words(**TICKED, **{"sure-rep-figured-flask": "doubtful"})
    assert doubtful == "about 1810 to 1990"


def test_a_ticked_sign_is_stored_with_its_answer_and_its_reason(owner_client):
    owner_client.post("/finds/new/", filled(**TICKED))
    find = Specimen.objects.get()
    assert set(find.features.values_list("feature", flat=True)) == {"figured-flask", "rep-figured-flask"}
    assert (find.made_from, find.made_to, find.made_words) == (1925, 1990, "about 1925 to 1990")
    assert list(differences([find.pk])) == []
    page = owner_client.get(find.get_absolute_url())
    text = page.content.decode()
    assert "Signs of a later copy: figured flask" in text and "signs of a copy were seen" in text
    cautioned = {caution.id for caution in page.context["dated"].copies}
    assert cautioned == {"rep-diamond-flask", "rep-bitters"}


def test_taken_off_again_the_old_years_are_back_and_history_knows(owner_client):
    seen = [ObservedFeature(feature=name) for name in ("figured-flask", "rep-figured-flask")]
    find = make.find("flask", Parts(features=seen))
    assert find.made_to == 1990
    keep_find(find, Parts(features=[ObservedFeature(feature="figured-flask")]), fields=[])
    find.refresh_from_db()
    assert find.made_words == "about 1810 to 1880"
    lines = [line for change in history_changes(HISTORY_KINDS["find"], find.pk) for line in change.said]
    assert "Seen removed: Signs of a later copy: figured flask, certain" in lines


def test_the_page_of_the_find_leads_to_where_it_is_ticked(owner_client):
    find = make.find("flask", Parts(features=[ObservedFeature(feature="figured-flask")]))
    text = owner_client.get(f"{find.get_absolute_url()}?look").content.decode()
    assert f"/finds/{find.number}/edit/#part-making" in text
    assert "Is it a later copy" in text


def test_while_dating_a_bottle_in_hand_a_sign_is_ticked_by_its_link(owner_client):
    page = owner_client.get("/date/?f=figured-flask")
    first = page.context["answer"].copies[0]
    assert first.tick == "?f=figured-flask&f=rep-figured-flask"
    assert [q.ask for q in page.context["questions"] if "Is it a later copy" in q.ask]
    groups = {row.group.key: row for row in page.context["groups"]}
    assert [feature.id for feature, _ in groups["copy"].rows] == [c.id for c in page.context["answer"].copies]
    ticked = owner_client.get(f"/date/{first.tick}")
    assert ticked.context["answer"].words == "about 1925 to 1990"
    assert "Signs of a later copy: figured flask" in ticked.content.decode()
    assert "copy" not in {row.group.key for row in owner_client.get("/date/").context["groups"]}
