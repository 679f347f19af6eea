"""A dive goes into the bin at the moment a find is written on it: no find may rest on a binned dive."""

import re
import subprocess
import sys
import threading
from datetime import date
from pathlib import Path

from tests.attacks._catalogue import Browser, catalogue
from tests.attacks._report import Report
from tests.running import ROOT, surroundings

ROUNDS = 25
RESTING = """
from catalogue.specimens.models import Specimen
from catalogue.sites.models import Dive
print(Specimen.objects.exclude(dive__binned_at=None).filter(dive__isnull=False).count(),
      Dive.everything.in_bin().count(), Specimen.objects.exclude(dive=None).count())
"""


def attack(room: Path, report: Report) -> None:
    """Both at once, again and again."""
    folder = room / "catalogue"
    with catalogue(room, folder) as (running, owner):
        owner.record("the first", pick="new", new_site="Otter Hole", date=date.today().isoformat())
        statuses: dict[tuple[int, int], int] = {}
        for turn in range(ROUNDS):
            pair = _both(owner, turn)
            statuses[pair] = statuses.get(pair, 0) + 1
        report.check(all(status < 500 for pair in statuses for status in pair), "find and bin", statuses)
        shell = [sys.executable, str(ROOT / "manage.py"), "shell", "-v", "0", "-c", RESTING]
        around = surroundings(room, SILTMARK_DATA=str(folder))
        told = subprocess.run(shell, env=around, capture_output=True, text=True, check=True).stdout
        resting, binned, filed = (int(word) for word in told.split()[-3:])
        report.check(resting == 0, "no find rests on a binned dive", f"{resting} of {filed}")
        report.check(binned + filed == ROUNDS + 1, "of each two one won", f"{binned} binned, {filed} filed")
        told = (folder / "siltmark.log").read_text()
        report.check("Traceback" not in told and "deadlock" not in told, "no trace in the log")


def _both(owner: Browser, turn: int) -> tuple[int, int]:
    """Write a find on a new dive and put the dive in the bin, both at once; the two answers."""
    _, values = owner.opened("/dives/new/", "site")
    sites = re.findall(r'<option value="(\d+)"', owner.get("/dives/new/").text)
    dive = owner.send("/dives/new/", "site", site=sites[0], date=date.today().isoformat()).location
    year, ordinal = re.findall(r"\d+", dive)[-2:]
    page = f"/finds/new/?dive={year}.{ordinal}"
    key = re.search(r"/bin/dive/(\d+)/", owner.get(dive).text)
    assert key, dive
    address, values = owner.opened(page, "what")
    gate, statuses = threading.Barrier(2), [0, 0]

    def write(window: Browser) -> None:
        gate.wait()
        statuses[0] = window.post(address, {**values, "what": f"find {turn}", "pick": key[1]}).status

    def throw(window: Browser) -> None:
        gate.wait()
        # At other moments of the find's way each time.
        threading.Event().wait(turn % 12 * 0.015)
        statuses[1] = window.post(f"/bin/dive/{key[1]}/", {}).status

    threads = [threading.Thread(target=each, args=(owner.window(),)) for each in (write, throw)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return statuses[0], statuses[1]
