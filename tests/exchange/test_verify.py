"""The whole look through a catalogue, tried by breaking one thing after the other."""

from collections.abc import Callable
from io import StringIO

import pytest
from django.core.management import call_command
from django.db import connection

from catalogue.exchange.models import BackupPlan, BackupRun
from catalogue.exchange.verify import verify
from catalogue.photos import files
from catalogue.photos.models import Photo
from catalogue.sites import papers
from catalogue.sites.models import Permission
from catalogue.specimens.models import Specimen
from tests.exchange.conftest import fill


@pytest.fixture
def sound(db, data_folder, tmp_path_factory) -> None:
    """A small catalogue with nothing amiss."""
    fill()
    BackupPlan(pk=1, place=str(tmp_path_factory.mktemp("stick"))).save()
    BackupRun.objects.create(place="x", kind=BackupRun.Kind.DAY, files=1, bytes=1)


def amiss() -> dict[str, str]:
    return {part.part: part.words for part in verify() if not part.sound}


def test_nothing_amiss_is_said_of_a_sound_one(sound):
    assert amiss() == {}
    out = StringIO()
    call_command("verify", stdout=out)
    assert "Everything is sound." in out.getvalue()


def spoil_paper() -> None:
    name = Permission.objects.get().file
    papers.path_of(str(name)).write_bytes(b"%PDF-1.4 other")


def lose_paper() -> None:
    papers.path_of(str(Permission.objects.get().file)).unlink()


def spoil_picture() -> None:
    photo = Photo.objects.first()
    files.original(photo.sha256, photo.format).write_bytes(b"rotten")


def lose_picture() -> None:
    photo = Photo.objects.first()
    files.original(photo.sha256, photo.format).unlink()


def stale_column() -> None:
    with connection.cursor() as cursor:
        cursor.execute("UPDATE specimens_specimen SET made_words = 'made up'")


def no_plan() -> None:
    BackupPlan.objects.all().delete()


@pytest.mark.parametrize(
    ("break_it", "part", "said"),
    [
        (spoil_paper, "Papers", "is damaged"),
        (lose_paper, "Papers", "is missing"),
        (spoil_picture, "Original pictures", "not what was taken in"),
        (lose_picture, "Original pictures", "its file is gone"),
        (stale_column, "Worked-out columns", "can be worked out again"),
        (no_plan, "Backups", "No folder is chosen"),
    ],
)
def test_what_is_broken_is_found_and_nothing_else(sound, break_it: Callable[[], None], part, said):
    break_it()
    found = amiss()
    assert set(found) == {part}
    assert said in found[part]


def test_what_is_safe_is_mended_on_the_owners_word_alone(sound, monkeypatch):
    stale_column()
    monkeypatch.setattr("builtins.input", lambda words: "no")
    with pytest.raises(SystemExit) as ended:
        call_command("verify", stdout=StringIO())
    assert ended.value.code == 1
    assert Specimen.objects.filter(made_words="made up").exists()
    monkeypatch.setattr("builtins.input", lambda words: "yes")
    call_command("verify", stdout=StringIO())
    assert not Specimen.objects.filter(made_words="made up").exists()
    assert amiss() == {}


def test_what_can_not_be_mended_stays_said(sound):
    lose_picture()
    with pytest.raises(SystemExit):
        call_command("verify", mend=True, stdout=StringIO())
