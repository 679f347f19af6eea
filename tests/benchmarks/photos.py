"""Taking in phone pictures of 12 megapixels: python -m tests.benchmarks photos [how many]

Prints, with the goals, three things from one run:

- taking them in (kept with digest, looked through whole, all sizes written) and making the sizes alone, each
  against libvips making the same sizes, all on two threads in processes of their own, with peak memory;
- a batch of them sent to a real server as pictures of a dive, over two connections, the sizes made by its
  worker: the server's peak memory, and how long other pages took to answer meanwhile;
- the same sent as a camera's card, where every picture is looked through for tags before it is answered.

libvips is no dependency of the catalogue. To have it beside ours for one run, without touching the project:
`pip install --target /tmp/vips pyvips pyvips-binary`, then `PYTHONPATH=/tmp/vips python -m tests.benchmarks
photos`. Without it the ratios are left out and said to be.
"""

import http.cookiejar
import json
import os
import subprocess
import sys
import tempfile
import threading
import time
import urllib.request
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from statistics import median

import numpy
from PIL import Image

from tests.running import start

WIDE, HIGH, SCENES = 4000, 3000, 8
PAGES = ("/", "/finds/", "/dives/", "/labels/tags/")
COMPARED = {"whole": "taken_in", "sizes": "ours", "libvips": "by_vips"}
MOST_RATIO, MOST_MB, MOST_MS = 1.3, 200, 300


def main(count: int = 100) -> None:
    with tempfile.TemporaryDirectory() as folder:
        files = draw(Path(folder), count)
        weight = sum(file.stat().st_size for file in files) / 1e6
        print(f"{count} pictures of {WIDE} × {HIGH}, {weight:.0f} MB")
        # In turns, and the better of two: whatever else the machine does then weighs on all alike.
        rounds = [{name: alone(maker, folder) for name, maker in COMPARED.items()} for _ in range(2)]
        if all(all(times.values()) for times in rounds):
            for what in ("seconds", "cpu"):
                least = {name: min(times[name][what] for times in rounds) for name in COMPARED}
                for name in ("whole", "sizes"):
                    ratio = least[name] / least["libvips"]
                    print(f"{name} against libvips, {what}: {ratio:.2f} (goal at most {MOST_RATIO})")
        else:
            print("no ratios: see the top of this file for how to have libvips beside ours")
        for how in (of_the_dive, as_a_card):
            sent(Path(folder), files, how)
    print(f"load of the machine, one minute: {os.getloadavg()[0]:.1f}")


def draw(folder: Path, count: int) -> list[Path]:
    """A few scenes of soft ground and fine grain, as phones make them; every file differs."""
    random = numpy.random.default_rng(65)
    scenes = []
    for _ in range(min(SCENES, count)):
        rough = random.integers(40, 220, (30, 40, 3), dtype=numpy.uint8)
        soft = Image.fromarray(rough).resize((WIDE, HIGH), Image.Resampling.BICUBIC)
        grain = random.integers(-9, 10, (HIGH, WIDE, 1), dtype=numpy.int16)
        scenes.append(Image.fromarray((numpy.asarray(soft) + grain).clip(0, 255).astype(numpy.uint8)))
    files = []
    for number in range(count):
        notes = Image.Exif()
        notes[0x0112], notes[0x010E] = 6 if number % 3 == 0 else 1, f"scene {number}"
        files.append(folder / f"IMG_{number:04}.jpg")
        scenes[number % len(scenes)].save(files[-1], quality=90, exif=notes)
    return files


def alone(maker: str, folder: str) -> dict[str, float] | None:
    """Seconds by the clock and of processor that `maker` takes over a folder in a process of its own."""
    code = f"from tests.benchmarks import photos; photos.timed(photos.{maker}, {folder!r})"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    if run.returncode:
        print(f"{maker}: not run ({run.stderr.strip().splitlines()[-1]})")
        return None
    said = json.loads(run.stdout)
    print(f"{maker}: {said['seconds']:.1f} s, cpu {said['cpu']:.1f} s, peak memory {said['peak_mb']:.0f} MB")
    return said


def timed(maker: Callable[[], Callable[[Path], None]], folder: str) -> None:
    """In the process of its own: two threads, then one line of JSON."""
    make = maker()
    files = sorted(Path(folder).glob("*.jpg"))
    began, cpu = time.perf_counter(), time.process_time()
    with ThreadPoolExecutor(2) as threads:
        list(threads.map(make, files))
    took = {"seconds": time.perf_counter() - began, "cpu": time.process_time() - cpu}
    print(json.dumps(took | {"peak_mb": peak_mb(os.getpid())}))


def ours() -> Callable[[Path], None]:
    from catalogue.photos.decoding import derive

    return lambda path: [len(size.jpeg) for size in derive(path)] and None


def taken_in() -> Callable[[Path], None]:
    """All that becomes of a picture but its row: kept, looked through, its sizes written."""
    import django

    os.environ["DJANGO_SETTINGS_MODULE"] = "catalogue.settings"
    os.environ["SILTMARK_DATA"] = tempfile.mkdtemp()
    django.setup()
    from catalogue.photos.renditions import make_sizes
    from catalogue.photos.services import store

    def take(path: Path) -> None:
        facts = store(path)
        assert make_sizes(facts["sha256"], facts["format"])

    return take


def by_vips() -> Callable[[Path], None]:
    os.environ.setdefault("VIPS_CONCURRENCY", "1")  # two pictures at once is faster than two threads in each
    import pyvips

    from catalogue.photos.decoding import JPEG_QUALITY
    from catalogue.photos.files import SIZES_PX

    def make(path: Path) -> None:
        picture = None
        for name in sorted(SIZES_PX, key=SIZES_PX.get, reverse=True):
            longest = SIZES_PX[name]
            if picture is None:
                picture = pyvips.Image.thumbnail(str(path), longest, height=longest).copy_memory()
            else:
                picture = picture.thumbnail_image(longest, height=longest).copy_memory()
            picture.jpegsave_buffer(Q=JPEG_QUALITY[name], interlace=True, optimize_coding=True, keep="none")

    return make


def peak_mb(pid: int) -> float:
    """The most memory a process ever had, from /proc."""
    lines = Path(f"/proc/{pid}/status").read_text().splitlines()
    return int(next(line for line in lines if line.startswith("VmHWM")).split()[1]) / 1024


class Browser:
    """The owner's, with the standard library alone."""

    def __init__(self, base: str, link: str) -> None:
        self.base, self.jar = base, http.cookiejar.CookieJar()
        self.opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(self.jar))
        self.opener.open(link).read()

    def get(self, path: str) -> bytes:
        with self.opener.open(self.base + path) as answer:
            return answer.read()

    def post(self, path: str, fields: dict[str, str], file: Path | None = None) -> bytes:
        edge = "----------picture"
        body = b"".join(
            f'--{edge}\r\nContent-Disposition: form-data; name="{name}"\r\n\r\n{value}\r\n'.encode()
            for name, value in ({"csrfmiddlewaretoken": self.token()} | fields).items()
        )
        if file:
            head = f'--{edge}\r\nContent-Disposition: form-data; name="pictures"; filename="{file.name}"\r\n'
            body += f"{head}Content-Type: image/jpeg\r\n\r\n".encode() + file.read_bytes() + b"\r\n"
        request = urllib.request.Request(self.base + path, body + f"--{edge}--\r\n".encode())
        request.add_header("Content-Type", f"multipart/form-data; boundary={edge}")
        request.add_header("Referer", self.base)
        with self.opener.open(request) as answer:
            return answer.read()

    def token(self) -> str:
        return next(cookie.value for cookie in self.jar if "csrf" in cookie.name)


def of_the_dive(browser: Browser, file: Path) -> None:
    """Answered once the picture is kept; its sizes are the worker's."""
    browser.post("/photos/add/?dive=1", {"next": "/labels/tags/"}, file)


def as_a_card(browser: Browser, file: Path) -> None:
    browser.post("/dives/2026/1/card/arrive/", {}, file)


def sent(folder: Path, files: list[Path], how: Callable[[Browser, Path], None]) -> None:
    """Pictures sent to a real server, and other pages asked for until all of them have their sizes."""
    data = folder / how.__name__
    running = start(folder, "--data", str(data))
    try:
        browser = Browser(running.base, running.link)
        browser.get("/dives/sites/new/")
        browser.post("/dives/sites/new/", {"name": "Heron Ledge", "show_as": "hidden"} | UNKNOWN)
        browser.post("/dives/new/", {"site": "1", "date": "2026-08-14"})
        before = peak_mb(running.process.pid)
        quiet = [answered(browser, path) for path in PAGES * 3]
        done, waits = threading.Event(), []
        asking = threading.Thread(target=ask, args=(browser, done, waits))
        asking.start()
        began = time.perf_counter()
        with ThreadPoolExecutor(2) as threads:
            list(threads.map(lambda file: how(browser, file), files))
        here = time.perf_counter() - began
        while len(list((data / "files" / "sizes").rglob("*.jpg"))) < 3 * len(files):
            time.sleep(0.2)
        took = time.perf_counter() - began
        done.set()
        asking.join()
        print(f"sent {how.__name__.replace('_', ' ')}: here after {here:.1f} s, all sizes after {took:.1f} s")
        peak = peak_mb(running.process.pid)
        print(f"  server's peak memory {peak:.0f} MB (goal under {MOST_MB}), {before:.0f} before the first")
        late = f"{sum(wait > MOST_MS for wait in waits)} of {len(waits)} over {MOST_MS} (goal none)"
        print(f"  other pages at rest: median {median(quiet):.0f} ms, largest {max(quiet):.0f} ms")
        print(f"  meanwhile: median {median(waits):.0f} ms, largest {max(waits):.0f} ms; {late}")
    finally:
        running.stop()


UNKNOWN = {"tidal": "unknown", "wreck": "unknown", "military": "unknown"}


def ask(browser: Browser, done: threading.Event, waits: list[float]) -> None:
    while not done.wait(0.15):
        waits.append(answered(browser, PAGES[len(waits) % len(PAGES)]))


def answered(browser: Browser, path: str) -> float:
    """Milliseconds until a page is there whole."""
    began = time.perf_counter()
    browser.get(path)
    return (time.perf_counter() - began) * 1000


if __name__ == "__main__":
    main()
