"""Papers (letters, permits) are kept like pictures: by digest, whole, private, never shown inline."""

import hashlib
import stat

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from catalogue.sites import papers
from catalogue.sites.models import Permission
from tests import factories

pytestmark = pytest.mark.django_db

LETTER = b"%PDF-1.7\n% Velmoor Harbour Trust: bottles may be lifted off the outer mole.\n%%EOF\n"
DIGEST = hashlib.sha256(LETTER).hexdigest()


@pytest.fixture
def site(data_folder):
    data_folder.joinpath("files").mkdir()
    return factories.site()


def send(client, site, content=LETTER, name="Leave of the harbour.pdf", pk=None, **fields):
    page = f"/dives/sites/{site.slug}/permission/" + (f"{pk}/" if pk else "")
    data = {"basis": "owner", "authority": "Velmoor Harbour Trust", **fields}
    if content is not None:
        data["paper"] = SimpleUploadedFile(name, content)
    return client.post(page, data)


def address(permission):
    return f"/dives/sites/{permission.site.slug}/permission/{permission.pk}/paper/"


def body(answer):
    return b"".join(answer.streaming_content)


def test_a_permit_is_opened_and_downloaded_again(owner_client, site):
    assert send(owner_client, site).status_code == 302
    permission = Permission.objects.get()
    assert address(permission) in owner_client.get(site.get_absolute_url()).content.decode()
    answer = owner_client.get(address(permission))
    assert answer.status_code == 200 and body(answer) == LETTER


def test_it_is_never_shown_inline(owner_client, site):
    send(owner_client, site, b"<script>alert(1)</script>", "note.txt")
    answer = owner_client.get(address(Permission.objects.get()))
    assert answer["Content-Disposition"] == 'attachment; filename="note.txt"'
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Content-Type"] == "application/octet-stream"
    assert "no-store" in answer["Cache-Control"] and "private" in answer["Cache-Control"]
    body(answer)


def test_on_disk_it_is_named_by_its_digest_and_the_owners_alone(owner_client, site, data_folder):
    send(owner_client, site, name="../../Leave.pdf")
    permission = Permission.objects.get()
    place = data_folder / "files" / "papers" / DIGEST[:2] / f"{DIGEST}.pdf"
    assert (
        permission.file.name == f"papers/{DIGEST[:2]}/{DIGEST}.pdf" and permission.file_came_as == "Leave.pdf"
    )
    assert place.read_bytes() == LETTER
    assert stat.S_IMODE(place.stat().st_mode) == 0o600
    assert stat.S_IMODE(place.parent.stat().st_mode) == 0o700
    assert [each for each in (data_folder / "files").rglob("*") if each.is_file()] == [place]


def test_the_same_paper_twice_is_kept_once_and_a_damaged_one_is_healed(owner_client, site, data_folder):
    send(owner_client, site)
    place = papers.path_of(Permission.objects.get().file.name)
    place.write_bytes(b"%PDF-spoilt")
    send(owner_client, site, authority="Another desk")
    assert place.read_bytes() == LETTER
    assert len({each.file.name for each in Permission.objects.all()}) == 1


def test_it_is_forced_to_disk_before_the_row_speaks_of_it(owner_client, site, monkeypatch):
    synced = []
    real = papers.kept_files.os.fsync
    monkeypatch.setattr(papers.kept_files.os, "fsync", lambda handle: synced.append(handle) or real(handle))
    send(owner_client, site)
    assert len(synced) >= 2


@pytest.mark.parametrize(
    ("content", "name", "said"),
    [
        (b"MZ\x90\x00\x03" + b"\0" * 60, "permit.pdf", "neither"),
        (b"PK\x03\x04" + b"\0" * 60, "permit.docx", "neither"),
        (b"", "permit.pdf", "empty"),
        (LETTER + b" " * papers.PAPER_MAX_BYTES, "permit.pdf", "25 MB"),
    ],
)
def test_type_and_size_are_checked_in_a_sentence(owner_client, site, data_folder, content, name, said):
    answer = send(owner_client, site, content, name)
    assert answer.status_code == 422 and said in answer.content.decode()
    assert "Velmoor Harbour Trust" in answer.content.decode()
    assert not Permission.everything.exists()
    assert not [each for each in (data_folder / "files").rglob("*") if each.is_file()]


def test_what_is_too_large_for_any_file_is_said_and_not_left_out(owner_client, site, settings):
    settings.UPLOAD_MAX_BYTES = 1000
    answer = send(owner_client, site, LETTER + b" " * 2000)
    assert answer.status_code == 422 and "25 MB" in answer.content.decode()
    assert not Permission.everything.exists()


@pytest.mark.parametrize("fields", [{"basis": ""}, {"valid_from": "2024-02-01", "valid_to": "2024-01-01"}])
def test_a_form_with_a_mistake_asks_for_the_file_again(owner_client, site, fields):
    answer = send(owner_client, site, **fields)
    assert answer.status_code == 422 and "Choose the file again" in answer.content.decode()


def test_an_edit_without_a_file_keeps_the_paper(owner_client, site):
    send(owner_client, site)
    permission = Permission.objects.get()
    send(owner_client, site, None, pk=permission.pk, authority="Harbour desk")
    kept = Permission.objects.get()
    assert (kept.authority, kept.file.name) == ("Harbour desk", permission.file.name)


def test_a_paper_taken_off_stays_on_disk(owner_client, site):
    send(owner_client, site)
    permission = Permission.objects.get()
    place = papers.path_of(permission.file.name)
    send(owner_client, site, None, pk=permission.pk, drop_paper="on")
    assert not Permission.objects.get().file and place.exists()
    assert owner_client.get(address(permission)).status_code == 404


def test_one_stored_under_its_old_name_stays_reachable(owner_client, site, data_folder):
    old = data_folder / "files" / "permissions" / "letter.html"
    old.parent.mkdir()
    old.write_bytes(b"<p>yes</p>")
    permission = Permission.objects.create(site=site, basis="owner", file="permissions/letter.html")
    answer = owner_client.get(address(permission))
    assert body(answer) == b"<p>yes</p>"
    assert answer["Content-Disposition"] == 'attachment; filename="letter.html"'
    assert answer["Content-Type"] == "application/octet-stream"


@pytest.mark.parametrize("name", ["../secret", "papers/../../secret", "/etc/passwd", "papers"])
def test_nothing_outside_the_folder_is_sent(owner_client, site, data_folder, name):
    data_folder.joinpath("secret").write_text("hush")
    permission = Permission.objects.create(site=site, basis="owner", file=name)
    assert owner_client.get(address(permission)).status_code == 404


def test_a_paper_gone_from_the_disk_is_said(owner_client, site):
    send(owner_client, site)
    permission = Permission.objects.get()
    papers.path_of(permission.file.name).unlink()
    answer = owner_client.get(address(permission))
    assert answer.status_code == 404 and "no longer on the disk" in answer.content.decode()


def test_a_visitor_gets_none(client, owner_client, site):
    send(owner_client, site)
    answer = client.get(address(Permission.objects.get()))
    assert answer.status_code == 302 and answer["Location"].startswith("/enter/")


def test_the_address_answers_to_reading_alone(owner_client, site):
    send(owner_client, site)
    permission = Permission.objects.get()
    assert owner_client.post(address(permission)).status_code == 405
    other = factories.site("Kelp Stair")
    assert owner_client.get(address(permission).replace(site.slug, other.slug)).status_code == 404
