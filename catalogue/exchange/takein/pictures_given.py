"""Pictures that rows name: taken from a zip or a folder of this machine, held, filed under their finds."""

import zipfile
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import closing
from pathlib import Path
from typing import IO, Any

from catalogue.exchange.backup.running import WorkRefused
from catalogue.exchange.models import TakeIn
from catalogue.photos.image_file import PictureRefused
from catalogue.photos.models import HeldPicture, Photo
from catalogue.photos.queries import first_role
from catalogue.photos.services import file_under, hold
from catalogue.specimens.models import Specimen

from .matching import PICTURE_ENDINGS
from .packed import UNPACKING_FAILED
from .picture_names import picture_key, picture_names
from .stored_sheet import columns_of, sheet_of_take_in

MOST_GIVEN = 50_000
NOT_THERE = "there is no file of that name"
TWICE = "two files have that name"


def pictures_named(take_in: TakeIn) -> list[str]:
    """The names of pictures that its rows give, each once, in their order."""
    sheet = sheet_of_take_in(take_in)
    _, keys = columns_of(take_in, sheet)
    at = next((at for at, key in keys.items() if key == "pictures"), None)
    if at is None:
        return []
    named = (name for row in sheet.rows for name in picture_names(row.cells[at]))
    return list({picture_key(name): name for name in named}.values())


class PicturesRefused(WorkRefused):
    """The zip or folder can't be used; the message is one sentence."""


def hold_from_zip(take_in: TakeIn, wanted: Iterable[str], file: IO[bytes]) -> None:
    """Hold the pictures of a zip that rows name. Raises PicturesRefused where it is no zip."""
    try:
        archive = zipfile.ZipFile(file)
    except (zipfile.BadZipFile, NotImplementedError, ValueError, EOFError):
        raise PicturesRefused("This is no zip, or it is damaged: pack the pictures anew.") from None
    with closing(archive):
        entries = [entry for entry in archive.infolist() if not entry.is_dir()]
        if len(entries) > MOST_GIVEN:
            raise PicturesRefused(f"It holds more than {MOST_GIVEN:,} files: take only those that rows name.")
        found = _by_key((entry.filename, entry) for entry in entries)
        _hold_all(take_in, wanted, found, lambda entry: _Named(archive, entry))


def hold_from_folder(take_in: TakeIn, wanted: Iterable[str], folder: Path) -> None:
    """The same from a folder of this machine and what lies in it. Raises PicturesRefused."""
    if not folder.is_absolute() or not folder.is_dir():
        raise PicturesRefused("There is no such folder on this machine just now: write the whole way to it.")
    found = _by_key((str(path), path) for path in _files_in(folder))
    _hold_all(take_in, wanted, found, lambda path: path)


def _files_in(folder: Path) -> Iterator[Path]:
    """Pictures below a folder; links that lead elsewhere are not followed."""
    count = 0
    for path in folder.rglob("*"):
        if path.suffix.casefold() not in PICTURE_ENDINGS or path.is_symlink() or not path.is_file():
            continue
        count += 1
        if count > MOST_GIVEN:
            raise PicturesRefused(f"It holds more than {MOST_GIVEN:,} pictures: name a folder with fewer.")
        yield path


def _by_key(named: Iterable[tuple[str, Any]]) -> dict[str, list[Any]]:
    found: dict[str, list[Any]] = {}
    for name, source in named:
        found.setdefault(picture_key(name), []).append(source)
    return found


class _Named:
    """A file of a zip as an upload: read in pieces, with the name that it has there."""

    def __init__(self, archive: zipfile.ZipFile, entry: zipfile.ZipInfo) -> None:
        self.archive, self.entry, self.name = archive, entry, entry.filename

    def chunks(self) -> Iterator[bytes]:
        """Its bytes; a part that is damaged ends as a picture cut short."""
        try:
            with self.archive.open(self.entry) as file:
                while part := file.read(1024 * 1024):
                    yield part
        except UNPACKING_FAILED as error:
            raise PictureRefused("It can't be unpacked: pack it anew, without a password.") from error


def _hold_all(take_in: TakeIn, wanted: Iterable[str], found: Mapping[str, list[Any]], source: Any) -> None:
    held: dict[str, dict[str, str]] = dict(take_in.pictures)
    for key in dict.fromkeys(map(picture_key, wanted)):
        if "token" in held.get(key, {}):
            continue
        files = found.get(key, [])
        if len(files) != 1:
            held[key] = {"why": TWICE if files else NOT_THERE}
            continue
        try:
            held[key] = {"token": hold(source(files[0]), holder=holder_of_take_in(take_in)).token}
        except PictureRefused as refused:
            held[key] = {"why": refused.why}
    take_in.pictures = held


def holder_of_take_in(take_in: TakeIn) -> str:
    """Whose the held pictures of an import are."""
    return f"take-in-{take_in.pk}"


def file_pictures(take_in: TakeIn, named: Sequence[tuple[Sequence[str], Specimen]]) -> list[list[int]]:
    """File held pictures under their finds; keys of find and picture, of those that are new there."""
    holder = holder_of_take_in(take_in)
    held = {each.token: each for each in HeldPicture.objects.filter(holder=holder)}
    used: set[str] = set()
    made: list[list[int]] = []
    for names, find in named:
        for name in names:
            token = take_in.pictures.get(picture_key(name), {}).get("token", "")
            if token not in held:
                continue
            there = set(Photo.objects.of(find).values_list("pk", flat=True))
            photo = file_under(find, held[token].facts(), role=first_role(find))
            used.add(token)
            if photo.pk not in there:
                made.append([find.pk, photo.pk])
    HeldPicture.objects.filter(holder=holder, token__in=used).delete()
    return made
