"""Writers beside an attack: they keep finds and pictures, and note what they were told was kept."""

import hashlib
import json
import threading
import time
from dataclasses import dataclass, field
from pathlib import Path

from tests.attacks._catalogue import Browser, jpeg, original, rows
from tests.attacks._report import Report


@dataclass
class Writers:
    """Threads that write until they are told to stop."""

    owner: Browser
    count: int = 3
    first: int = 0
    stop: threading.Event = field(default_factory=threading.Event)
    finds: dict[str, tuple[str, str]] = field(default_factory=dict)
    held: dict[str, str] = field(default_factory=dict)
    statuses: list[int] = field(default_factory=list)
    lost_connections: int = 0
    threads: list[threading.Thread] = field(default_factory=list)

    def begin(self) -> "Writers":
        """Start them."""
        for which in range(self.count):
            thread = threading.Thread(target=self._write, args=(which, self.owner.window()), daemon=True)
            self.threads.append(thread)
            thread.start()
        return self

    def end(self) -> None:
        """Stop them and wait for the answers under way."""
        self.stop.set()
        for thread in self.threads:
            thread.join(120)

    def _write(self, which: int, window: Browser) -> None:
        seed = self.first + 1_000_000 * (which + 1)
        while not self.stop.is_set():
            seed += 1
            picture = jpeg(seed)
            digest = hashlib.sha256(picture).hexdigest()
            try:
                if seed % 3:
                    what = f"K{seed} bottle"
                    number = window.record(
                        what, [("a.jpg", picture)], notes=f"note {seed}", new_place=f"P{seed % 5}"
                    )
                    if number:
                        self.finds[number] = (what, digest)
                else:
                    answer = window.post("/photos/hold/", {"role": "detail"}, [("h.jpg", picture)])
                    self.statuses.append(answer.status)
                    if answer.status == 201:
                        self.held[json.loads(answer.text)["token"]] = digest
            except (OSError, LookupError, ValueError):
                # No answer is no promise.
                self.lost_connections += 1
                time.sleep(0.05)

    def judge(self, folder: Path, report: Report, *, held_too: bool = True) -> None:
        """All that was said to be kept is there, words and pictures."""
        found = {
            row["number"]: row for row in rows(folder, "select id, number, what from specimens_specimen")
        }
        filed = {
            (row["find_id"], row["sha256"])
            for row in rows(folder, "select find_id, sha256 from photos_photo")
        }
        missing = [n for n, (what, _) in self.finds.items() if n not in found or found[n]["what"] != what]
        report.check(
            not missing, "each find that was kept is there", f"{len(self.finds)} kept, missing {missing[:3]}"
        )
        unpictured = [
            n
            for n, (_, digest) in self.finds.items()
            if n in found and ((found[n]["id"], digest) not in filed or not _whole(folder, digest))
        ]
        report.check(not unpictured, "with its picture, bit for bit", f"without {unpictured[:3]}")
        if held_too:
            tokens = {row["token"] for row in rows(folder, "select token from photos_heldpicture")}
            gone = [t for t, digest in self.held.items() if t not in tokens or not _whole(folder, digest)]
            report.check(
                not gone, "each picture that was held is there", f"{len(self.held)} held, gone {len(gone)}"
            )


def _whole(folder: Path, digest: str) -> bool:
    path = original(folder, digest)
    return path.exists() and hashlib.sha256(path.read_bytes()).hexdigest() == digest
