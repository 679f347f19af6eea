"""Settings, lists of towns: what is looked up and whose it is; a country added, deleted, restored."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import CommandError, call_command

from catalogue.specimens.gazetteer import named
from tests.gazetteer.country_files import line, packed, text

pytestmark = pytest.mark.django_db
PAGE = "/settings/towns/"


@pytest.fixture(autouse=True)
def room(settings, tmp_path):
    settings.DATA_DIR, settings.MEDIA_ROOT = tmp_path, tmp_path / "files"
    return tmp_path / "files" / "towns"


def brought(content: bytes, name: str = "IN.zip") -> dict[str, SimpleUploadedFile]:
    return {"file": SimpleUploadedFile(name, content)}


def test_the_page_says_whose_list_it_is(owner_client, django_assert_max_num_queries):
    with django_assert_max_num_queries(3):
        page = owner_client.get(PAGE).content.decode()
    assert "GeoNames" in page and "CC BY 4.0" in page and "extract" in page and page.count("<h1") == 1


def test_a_country_is_added_deleted_and_restored(owner_client):
    answer = owner_client.post(PAGE, brought(packed([line("Quarlpur")]).read()), follow=True)
    page = answer.content.decode()
    assert answer.status_code == 200 and "IN is added." in page and "1 place " in page and "Delete" in page
    assert named("Quarlpur")
    assert "Restore" in owner_client.post(f"{PAGE}IN/delete/", follow=True).content.decode()
    assert not named("Quarlpur")
    owner_client.post(f"{PAGE}IN/restore/")
    assert named("Quarlpur")


@pytest.mark.parametrize(
    ("files", "said"),
    [
        ({}, "Choose the file first."),
        (brought(b"hello", "IN.txt"), "Line 1 has 1 column;"),
        (brought(b"", "IN.txt"), "empty"),
        (brought(b"PK\x03\x04", "IN.zip"), "damaged"),
    ],
)
def test_what_is_no_country_stands_by_its_field(owner_client, files, said, room):
    answer = owner_client.post(PAGE, files)
    page = answer.content.decode()
    assert answer.status_code == 422 and said in page and 'role="alert"' in page
    assert not room.exists() or list(room.iterdir()) == []


def test_a_file_that_is_too_large_is_told_the_other_way(owner_client, settings):
    settings.UPLOAD_MAX_BYTES = 1000
    page = owner_client.post(PAGE, brought(b"x" * 70_000)).content.decode()
    assert "larger than 80 MB" in page


@pytest.mark.parametrize("country", ["FR", "fr", "..", "IN.sqlite3", "%00"])
@pytest.mark.parametrize("act", ["delete", "restore"])
def test_what_was_not_added_is_not_there(owner_client, country, act):
    assert owner_client.post(f"{PAGE}{country}/{act}/").status_code == 404


def test_nobody_else_comes_in(client):
    assert client.get(PAGE).status_code == 302
    assert client.post(PAGE, brought(packed([line()]).read())).status_code == 302
    assert client.post(f"{PAGE}IN/delete/").status_code == 302


def test_the_command_does_the_same(tmp_path, capsys):
    file = tmp_path / "IN.txt"
    file.write_bytes(text([line("Quarlpur")]).read())
    call_command("add_towns", str(file))
    assert "IN is added" in capsys.readouterr().out and named("Quarlpur")
    call_command("add_towns", "--delete", "IN")
    assert "not looked up" in capsys.readouterr().out and not named("Quarlpur")
    call_command("add_towns", "--restore", "IN")
    assert named("Quarlpur")
    file.write_text("no such lines")
    for wrong in ([str(file)], [str(tmp_path / "missing.txt")], ["--delete", "FR"]):
        with pytest.raises(CommandError):
            call_command("add_towns", *wrong)
