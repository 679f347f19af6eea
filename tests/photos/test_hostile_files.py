"""Each file of the hostile set is taken in right or refused in one sentence, and leaves nothing behind."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image

from catalogue.photos import files
from catalogue.photos.image_file import PictureRefused
from catalogue.photos.models import HeldPicture, Photo
from catalogue.photos.services import take_in
from tests.photos.drawn import upload
from tests.photos.hostile import REFUSED, TAKEN, png, png_of_many_rows
from tests.running import ROOT

# Pillow warns of what it passes over in a broken file; here it is what comes of it that counts.
pytestmark = pytest.mark.filterwarnings("ignore::UserWarning:PIL")


def test_the_set_is_large_enough():
    assert len(REFUSED) >= 60
    assert len(TAKEN) >= 25


@pytest.mark.parametrize("name", REFUSED)
def test_refused_in_one_sentence(find, name):
    with pytest.raises(PictureRefused) as refused:
        take_in(upload(REFUSED[name](), "holiday.jpg"), subject=find)
    why = refused.value.why
    assert why[0].isupper() and why.endswith(".") and why.count(".") == 1
    assert 30 < len(why) < 160
    assert list(files.stored()) == []
    assert Photo.everything.count() == 0


def test_what_is_too_large_is_told_with_what_would_do(find):
    with pytest.raises(PictureRefused) as refused:
        take_in(upload(png(10_000, 10_000, b"")), subject=find)
    assert refused.value.why == (
        "This picture is too large, 10,000 × 10,000 pixels: "
        "save a copy of at most 70 megapixels and add that."
    )


@pytest.mark.parametrize("name", TAKEN)
def test_taken_in_and_shown_again_as_clean_jpeg(find, name):
    content = TAKEN[name]()
    photo = take_in(upload(content, "holiday.jpg"), subject=find)
    assert files.original(photo.sha256, photo.format).read_bytes() == content
    assert photo.sizes_made and photo.taken_at is None
    for path in (files.size(photo.sha256, size) for size in ("small", "medium", "large")):
        assert b"alert" not in path.read_bytes()
        with Image.open(path, formats=["JPEG"]) as made:
            made.load()
            assert made.mode == "RGB"
    if name == "position at 91°":
        assert photo.position is None


@pytest.mark.parametrize("name", [*REFUSED, *TAKEN])
def test_sent_to_the_catalogue_it_is_never_a_server_error(owner_client, name):
    make = {**REFUSED, **TAKEN}[name]
    answer = owner_client.post("/photos/hold/", {"pictures": upload(make(), "holiday.jpg")})
    assert answer.headers["Content-Type"] == "application/json"
    if name in TAKEN:
        assert answer.status_code == 201
        assert owner_client.get(answer.json()["thumb"]).status_code == 200
    else:
        assert answer.status_code == 400
        # Django passes over a file without any bytes.
        assert answer.json()["error"].endswith(".")
        assert HeldPicture.objects.count() == 0
        assert list(files.stored()) == []


class Endless:
    """A stream that goes on and on, counting what is read of it."""

    name = "film.jpg"

    def __init__(self) -> None:
        self.given = 0

    def read(self, count: int) -> bytes:
        self.given += count
        return b"\xff" * count


def test_more_than_80_mb_is_stopped_on_the_way(find):
    endless = Endless()
    with pytest.raises(PictureRefused, match="larger than 80 MB"):
        take_in(endless, subject=find)
    assert endless.given <= 82 * 1024 * 1024
    assert list(files.stored()) == []


def test_a_file_past_the_limit_is_stopped_while_it_streams_in(owner_client, settings):
    settings.UPLOAD_MAX_BYTES = 300_000
    answer = owner_client.post("/photos/hold/", {"pictures": upload(b"\xff\xd8" * 200_000)})
    assert answer.status_code == 400
    assert "larger than" in answer.json()["error"]
    assert list(files.stored()) == []


MEASURE = """
import json, resource, sys
from pathlib import Path
from catalogue.photos.image_file import PictureRefused, examine
from catalogue.photos.decoding import derive
from tests.photos.hostile import REFUSED, TAKEN
folder, names = Path(sys.argv[1]), json.loads(sys.argv[2])
for number, name in enumerate(names):
    (folder / str(number)).write_bytes({**REFUSED, **TAKEN}[name]())
taken = 0
for path in sorted(folder.iterdir()):
    try:
        examine(path, max_pixels=120_000_000)
        taken += all(size.jpeg for size in derive(path))
    except PictureRefused:
        pass
status = Path("/proc/self/status")
if status.exists():
    # Its own peak: what getrusage tells goes back to before the start, when it was still a copy of the tests.
    peak_kb = next(line.split()[1] for line in status.read_text().splitlines() if line.startswith("VmHWM"))
else:
    peak_kb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
print(taken, peak_kb)
"""


def measured(folder: Path, names: list[str]) -> tuple[int, float]:
    """How many files were taken in a process of its own, and the most memory it ever had, in MB.

    The files by these names, and whatever lies in the folder already.
    """
    run = subprocess.run(
        [sys.executable, "-W", "ignore", "-c", MEASURE, str(folder), json.dumps(names)],
        capture_output=True,
        text=True,
        cwd=ROOT,
        env={"PATH": "", "DJANGO_SETTINGS_MODULE": "catalogue.settings", "SILTMARK_DATA": str(folder)},
    )
    assert run.returncode == 0, run.stderr
    taken, peak_kb = run.stdout.split()
    return int(taken), int(peak_kb) / 1024


needs_peak = pytest.mark.skipif(
    sys.platform == "win32", reason="the system there does not tell the peak of memory"
)


@needs_peak
def test_the_whole_set_stays_under_400_mb(tmp_path):
    names = [name for name in [*REFUSED, *TAKEN] if "tenths" not in name and name != "HEIC"]
    taken, peak_mb = measured(tmp_path, names)
    assert taken == len(TAKEN) - 1
    assert peak_mb < 400


@needs_peak
def test_the_largest_picture_that_is_let_in_stays_under_400_mb(tmp_path):
    """69 of the 70 megapixels a PNG may have. What it needs at least shows that the measure does measure."""
    (tmp_path / "large").write_bytes(png_of_many_rows(9_000, 7_670))
    taken, peak_mb = measured(tmp_path, [])
    assert taken == 1
    assert 9_000 * 7_670 * 4 / 1e6 < peak_mb < 400
