"""The pages on which a maker leaves as a file and comes in as one."""

import json

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from catalogue.specimens.maker_file import MAKER_FILE_BYTES
from catalogue.specimens.models import Maker, OwnMark
from tests import factories
from tests.specimens.test_maker_file import good

pytestmark = pytest.mark.django_db
PATH = "/makers/file/"


def sent(client, content: bytes | dict):
    content = json.dumps(content).encode() if isinstance(content, dict) else content
    return client.post(PATH, {"file": SimpleUploadedFile("brackwater.maker.json", content)})


def go(client, content: dict, **given: str):
    return client.post(PATH, {"text": json.dumps(content), "go": "1"} | given, follow=True)


def test_the_makers_page_offers_the_file(owner_client):
    maker = factories.brackwater()
    address = "/makers/brackwater-bottle-company/file/"
    assert address in owner_client.get(maker.get_absolute_url()).content.decode()
    answer = owner_client.get(address)
    assert answer["Content-Disposition"] == 'attachment; filename="brackwater-bottle-company.maker.json"'
    assert json.loads(answer.content)["maker"]["name"] == "Brackwater Bottle Company"


def test_only_own_makers_leave_as_files(owner_client):
    Maker.objects.create(name="Published", slug="published", reference_key="published|")
    assert owner_client.get("/makers/published/file/").status_code == 404
    assert owner_client.get("/makers/nobody/file/").status_code == 404
    assert owner_client.post("/makers/nobody/file/").status_code == 405


def test_the_list_leads_there(owner_client):
    assert PATH in owner_client.get("/makers/").content.decode()
    assert "The file" in owner_client.get(PATH).content.decode()
    assert 'role="alert"' not in owner_client.get(PATH).content.decode()


def test_it_shows_what_would_come_and_saves_nothing(owner_client):
    text = sent(owner_client, good()).content.decode()
    for words in (
        "Brackwater Bottle Company",
        "1922 to 1950",
        "No find&#x27;s years would change",
        "Quay works",
    ):
        assert words.replace("&#x27;", "'") in text.replace("&#x27;", "'")
    assert "would be" in text and "<svg" in text
    assert not Maker.objects.own().exists() and not OwnMark.objects.exists()


def test_what_was_shown_is_taken_in(owner_client):
    shown = sent(owner_client, good())
    answer = owner_client.post(PATH, {"text": shown.context["text"], "go": "1"}, follow=True)
    assert answer.redirect_chain == [("/makers/brackwater-bottle-company/", 302)]
    assert "Brackwater Bottle Company is taken in." in answer.content.decode()
    assert OwnMark.objects.get().letters == "BW"


def test_a_bad_file_is_refused_by_the_field(owner_client):
    whole = good()
    whole["marks"][0]["used_to"] = "soon"
    answer = sent(owner_client, whole)
    assert answer.status_code == 422
    assert "marks[0].used_to: a year in whole numbers is expected here." in answer.content.decode()
    assert not Maker.objects.own().exists()


@pytest.mark.parametrize(
    "content", [b"\x89PNG\r\n", b"{}", b" " * (MAKER_FILE_BYTES + 1), b"<script>alert(1)</script>"]
)
def test_what_is_no_makers_file_is_said(owner_client, content):
    answer = sent(owner_client, content)
    assert answer.status_code == 422 and "Nothing was taken in" in answer.content.decode()


def test_no_file_is_said(owner_client):
    assert "Choose the file first." in owner_client.post(PATH, {}).content.decode()


def test_a_maker_of_that_name_makes_it_ask(owner_client):
    factories.brackwater()
    text = sent(owner_client, good()).content.decode()
    assert "You have a maker of that name already" in text
    assert go(owner_client, good()).status_code == 422
    assert go(owner_client, good(), what="beside", name="brackwater bottle company").status_code == 422
    assert Maker.objects.own().count() == 1


def test_both_are_kept_under_two_names(owner_client):
    factories.brackwater()
    go(owner_client, good(), what="beside", name="Brackwater, Port Ellarn")
    assert set(Maker.objects.own().values_list("name", flat=True)) == {
        "Brackwater Bottle Company",
        "Brackwater, Port Ellarn",
    }


def test_one_takes_the_place_of_the_other(owner_client):
    maker = factories.brackwater()
    go(owner_client, good(), what="instead")
    assert Maker.objects.own().get() == maker and maker.works.get().name == "Quay works"


def test_markup_in_a_file_is_shown_as_text(owner_client):
    whole = good()
    whole["maker"]["name"] = "<b>Bold</b>"
    whole["marks"][0]["text"] = "<script>x</script>"
    text = sent(owner_client, whole).content.decode()
    assert "<b>Bold</b>" not in text and "<script>x" not in text


def test_a_maker_called_like_a_page_gets_another_address(owner_client):
    whole = good()
    whole["maker"]["name"] = "Read"
    assert go(owner_client, whole).redirect_chain == [("/makers/read-maker/", 302)]


@pytest.mark.parametrize("path", [PATH, "/makers/brackwater-bottle-company/file/"])
def test_a_visitor_may_not(client, path):
    factories.brackwater()
    assert client.get(path).status_code in (302, 403, 404)
    assert client.post(PATH, {"text": json.dumps(good()), "go": "1"}).status_code in (302, 403, 404)
    assert Maker.objects.own().count() == 1
