"""What a look at the files compares is what the disk holds, and it leaves nothing of them in memory."""

import hashlib
import os

import pytest

from catalogue.common.kept_files import digest_on_disk, keep_by_digest
from catalogue.exchange import verify
from catalogue.photos import files
from catalogue.photos.services import take_in
from catalogue.photos.services.integrity import check_pictures
from catalogue.sites.models import Permission
from tests import factories
from tests.photos.drawn import jpeg

needs_fadvise = pytest.mark.skipif(not hasattr(os, "posix_fadvise"), reason="no such wish on this system")


@pytest.fixture
def wishes(monkeypatch) -> list[tuple[str, int]]:
    """Each file that the system was asked to forget, and how far it had been read by then."""
    noted = []

    def forget(number: int, begin: int, length: int, wish: int) -> None:
        assert (begin, length, wish) == (0, 0, os.POSIX_FADV_DONTNEED)
        noted.append((os.readlink(f"/proc/self/fd/{number}"), os.lseek(number, 0, os.SEEK_CUR)))

    monkeypatch.setattr(os, "posix_fadvise", forget)
    return noted


@needs_fadvise
def test_a_file_is_let_go_of_before_it_is_read_and_after(tmp_path, wishes):
    path = tmp_path / "picture"
    path.write_bytes(b"x" * 3_000_000)
    assert digest_on_disk(path) == hashlib.sha256(b"x" * 3_000_000).hexdigest()
    assert wishes == [(str(path), 0), (str(path), 3_000_000)]


@needs_fadvise
@pytest.mark.django_db
def test_verify_reads_originals_and_papers_from_the_disk(data_folder, wishes):
    photo = take_in(jpeg(1), subject=factories.find())
    content = b"%PDF-1.4 leave to dive"
    paper = keep_by_digest(data_folder / "files" / "papers", [content], "pdf")
    name = paper.relative_to(data_folder / "files").as_posix()
    Permission.objects.create(site=factories.site(), basis="owner", file=name)
    del wishes[:]
    assert check_pictures(make_sizes=False).sound
    assert verify._papers().words == "1 read and compared."
    length = photo.bytes
    original = str(files.original(photo.sha256, photo.format))
    assert wishes == [(original, 0), (original, length), (str(paper), 0), (str(paper), len(content))]
