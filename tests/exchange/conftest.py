"""A small catalogue with pictures and a paper, and backups of it."""

import hashlib
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from catalogue.access.models import CatalogueId
from catalogue.exchange.backup.archive import write_backup
from catalogue.photos.models import Photo
from catalogue.photos.services import store
from catalogue.sites.models import Permission
from catalogue.sites.papers import keep_paper
from catalogue.specimens.town_files.added import add_country
from tests import factories
from tests.gazetteer.country_files import line, text
from tests.pages.pictures import picture


def fill() -> None:
    """Two finds with a picture each, a permission with its paper, a country of towns that was added."""
    CatalogueId.objects.get_or_create(pk=1, defaults={"value": "a" * 32})
    for number, what in enumerate(("Aqua soda bottle", "Flask")):
        find = factories.find(what)
        Photo.objects.create(find=find, **store(picture(f"{number}.jpg", (number * 90, 170, 150))))
    paper = SimpleUploadedFile("letter.pdf", b"%PDF-1.4 a letter")
    Permission.objects.create(site=factories.site(), basis=Permission.Basis.NOT_ASKED, file=keep_paper(paper))
    add_country(text([line("Quarlpur")]), "IN.txt")


@pytest.fixture
def backup(transactional_db, data_folder: Path, tmp_path: Path) -> Path:
    """A backup of a small catalogue, outside its data folder."""
    fill()
    target = tmp_path / "backups" / "b.zip"
    target.parent.mkdir()
    write_backup(target)
    return target


Change = Callable[[dict[str, bytes]], None]


def changed(backup: Path, change: Change, *, keep_tags: bool = False) -> Path:
    """A copy of a backup with other contents; its manifests are made right again unless `keep_tags`."""
    with zipfile.ZipFile(backup) as archive:
        top = archive.namelist()[0].split("/")[0]
        files = {name[len(top) + 1 :]: archive.read(name) for name in archive.namelist()}
    change(files)
    if not keep_tags:
        files["manifest-sha256.txt"] = _manifest(files, lambda name: name.startswith("data/"))
        files["tagmanifest-sha256.txt"] = _manifest(
            files, lambda name: not name.startswith("data/") and name != "tagmanifest-sha256.txt"
        )
    copy = backup.with_name("changed.zip")
    with zipfile.ZipFile(copy, "w") as archive:
        for name, content in files.items():
            archive.writestr(f"{top}/{name}", content)
    return copy


def _manifest(files: dict[str, bytes], wanted: Callable[[str], bool]) -> bytes:
    lines = [
        f"{hashlib.sha256(content).hexdigest()}  {name}\n" for name, content in files.items() if wanted(name)
    ]
    return "".join(lines).encode()
