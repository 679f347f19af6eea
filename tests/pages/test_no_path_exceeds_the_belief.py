"""Whichever way the years of a find are told, they are no surer than the posterior: guard on every path.

Finds are drawn at random (marks worn, gaps, codes) until some are of each kind: weak windows, windows that
the readings would give but the posterior does not hold, sure ones. `tests/dating/test_belief.py` tests the
service alone on thousands.
"""

import json
import random
import re
from dataclasses import dataclass
from html import unescape
from typing import Any
from urllib.parse import urlencode

import pytest
from django.test import Client

from catalogue.access.api_keys import make_api_key
from catalogue.exchange.takeout.csv_file import csv_lines
from catalogue.exchange.takeout.lido import lido_parts
from catalogue.exchange.takeout.rows import rows_of
from catalogue.giving.slip import slip_words
from catalogue.labels.label_text import LABEL_KINDS
from catalogue.labels.texts_of import GROUPINGS, list_of_finds, texts_of_finds, texts_of_groups
from catalogue.labels.year_phrase import shorter_phrases
from catalogue.pages.safekeeping.carried.make import make_pages
from catalogue.photos.models import Photo
from catalogue.photos.services import take_in
from catalogue.specimens.models import ObservedFeature, Specimen
from catalogue.specimens.services import Parts
from dating import Case, Finding, Window, assess, reference
from dating.assess import pieces_of
from dating.command import answer
from dating.window import bounds
from tests import factories as make
from tests.labels.rendering import words as pdf_words
from tests.photos.drawn import jpeg

pytestmark = pytest.mark.django_db
OF_EACH = 4
LEAST, SURE = 0.5, 0.8  # of the posterior: to be stated at all, and without "probably"
CLAIM = re.compile(
    r"(?P<doubt>(?:probably|prob\.) )?(?:one of (?P<listed>\d{4}(?:, \d{4})+)"
    r"|(?:about (?P<start>\d{4}) to|c\. (?P<short_start>\d{4})–) ?(?P<end>\d{2,4})"
    r"|(?P<least>\d{4}) or later|from (?P<short_least>\d{4})|before (?P<before>\d{4}))",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Drawn:
    """What was read, what the service says of it, and what the readings alone would give."""

    case: dict[str, Any]
    finding: Finding
    read: Window

    @property
    def held(self) -> float:
        """The posterior in the years that the readings alone would give, year by year."""
        low, high = self.read
        first, last = self.finding.axis
        years = range(first if low is None else low, (last if high is None else high) + 1)
        return sum(p for year, p in enumerate(self.finding.posterior, first) if year in years)

    @property
    def kind(self) -> str:
        return "withheld" if self.held < LEAST else "weak" if self.held < SURE else "sure"

    def overclaimed(self, text: str) -> list[str]:
        """What a text says of these years that the posterior does not hold."""
        wrong = []
        for claim in CLAIM.finditer(text):
            if claim["listed"] or _window(claim) != self.read or self.kind == "sure":
                continue
            if self.kind == "withheld" or not claim["doubt"]:
                wrong.append(claim[0])
        return wrong


def _window(claim: re.Match[str]) -> Window:
    """The years that a claim names; the end of a short form by its last two figures."""
    if claim["before"]:
        return Window(None, int(claim["before"]) - 1)
    if claim["least"] or claim["short_least"]:
        return Window(int(claim["least"] or claim["short_least"]), None)
    start = claim["start"] or claim["short_start"]
    return Window(int(start), int(start[: 4 - len(claim["end"])] + claim["end"]))


def draw_finds() -> list[Drawn]:
    """Some of each kind, each of other years, so that a page of all tells them apart."""
    ref, chance = reference(), random.Random(7)
    marks = sorted(name for name, mark in ref.marks.items() if mark.letters)
    features = sorted(name for name in ref.features if name not in ref.copies)
    found: dict[str, list[Drawn]] = {"withheld": [], "weak": [], "sure": []}
    seen: set[Window] = set()
    while any(len(some) < OF_EACH for some in found.values()):
        letters = [
            chance.choice(["?", "[..]", "A", "C", ""]) if chance.random() < 0.25 else letter
            for letter in ref.marks[chance.choice(marks)].letters
        ]
        mark: dict[str, Any] = {"letters": "".join(letters) or "?", "at": "base"}
        if code := chance.choice(["", "4", "37", "48", "?"]):
            mark["right"] = code
        certainty = chance.choice(["certain", "probable"])
        given = {
            "mark": {**mark, "certainty": certainty},
            "features": chance.sample(features, chance.choice([0, 0, 1])),
        }
        case = Case.from_dict(given, ref)
        finding = assess(case, ref, reasons=False)
        read = bounds(pieces_of(case, finding.span, ref), finding.span)
        drawn = Drawn(given, finding, read.window) if read.window and not read.years else None
        if drawn is None or drawn.read in seen or len(found[drawn.kind]) == OF_EACH or finding.years:
            continue
        if drawn.kind == "weak" and finding.window != drawn.read:
            continue  # by the years other marks lead
        seen.add(drawn.read)
        found[drawn.kind].append(drawn)
    return [drawn for some in found.values() for drawn in some]


DRAWN = draw_finds()


Kept = list[tuple[Drawn, Specimen]]


@pytest.fixture
def kept(data_folder: object) -> Kept:
    """Every one of them as a find that visitors may see, with a picture for the exhibit."""
    town = make.town()
    out = []
    for n, drawn in enumerate(DRAWN):
        mark = drawn.case["mark"]
        parts = Parts(
            readings=[make.reading(mark["letters"], right=mark.get("right"), certainty=mark["certainty"])],
            features=[ObservedFeature(feature=name) for name in drawn.case["features"]],
        )
        find = make.find(f"Drawn {n}", parts, shared=True, town=town)
        assert find.made_words == drawn.finding.words
        take_in(jpeg(tint=n, width=120, height=160), subject=find, role=Photo.Role.AFTER)
        out.append((drawn, find))
    return out


def shown(content: bytes) -> str:
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", content.decode())).split())


def told(text: str, drawn: Drawn, path: str) -> None:
    assert drawn.overclaimed(text) == [], f"{path}: {drawn.case} {drawn.finding.words} holds {drawn.held:.2f}"


def test_the_check_itself_sees_what_is_too_much() -> None:
    weak, withheld = (next(d for d in DRAWN if d.kind == kind) for kind in ("weak", "withheld"))
    bare = weak.finding.words.removeprefix("probably ")
    assert weak.overclaimed(weak.finding.words) == [] != weak.overclaimed(bare)
    assert all(weak.overclaimed(form) for form in shorter_phrases(bare))
    low, high = withheld.read
    closed = f"about {low} to {high}"
    words = closed if low and high else f"{low} or later" if low else f"before {(high or 0) + 1}"
    assert withheld.overclaimed(f"Made: probably {words}.")


def test_the_service_and_the_command() -> None:
    for drawn in DRAWN:
        told(drawn.finding.words, drawn, "service")
        out, fine = answer(json.dumps(drawn.case), reference())
        assert fine and out["words"] == drawn.finding.words
        told(out["words"], drawn, "command")
        if drawn.kind == "withheld":
            stated = out["window"] and Window(out["window"]["from"], out["window"]["to"])
            assert stated != drawn.read and (out["edtf"] is None) == (out["window"] is None)
        if drawn.kind == "weak":
            assert "?" in out["edtf"]


def test_the_pages_of_the_owner_and_of_visitors(kept: Kept, owner_client: Client, client: Client) -> None:
    for drawn, find in kept:
        mark = drawn.case["mark"]
        doubt = "mark" if mark["certainty"] == "probable" else ""
        query = {"letters": mark["letters"], "right": mark.get("right", ""), "f": drawn.case["features"]}
        pages = {
            "date": owner_client.get(f"/date/?{urlencode(query, doseq=True)}", HTTP_HX_REQUEST="true"),
            "find": owner_client.get(find.get_absolute_url()),
            "visitor": client.get(find.get_absolute_url()),
            "search": owner_client.get("/search/?q=Drawn"),
            "record": owner_client.get(f"/workbench/{find.number}/record/"),
        }
        for path, page in pages.items():
            if path == "date" and doubt:
                continue  # asked with another certainty
            assert page.status_code == 200, path
            told(shown(page.content), drawn, path)
        assert drawn.finding.words in shown(pages["find"].content)
        assert drawn.finding.words in shown(pages["visitor"].content)
        if drawn.finding.window is None or drawn.finding.words.startswith("probably "):
            assert not re.search(r"(?<!probably )over \d+ years old", shown(pages["find"].content))
        paper = pdf_words(owner_client.get(f"/workbench/{find.number}/record.pdf").content)
        told(" ".join(paper.split()), drawn, "record on paper")
        assert drawn.finding.words[:20] in " ".join(paper.split()) or not drawn.finding.window
    for address in ("/", "/finds/", "/finds/?view=table", "/giving/", "/exhibit/"):
        for each in (owner_client, client):
            text = shown(each.get(address, follow=True).content)
            for drawn, _ in kept:
                told(text, drawn, address)


def test_labels_and_slips(kept: Kept) -> None:
    keys = [find.pk for _, find in kept]
    for drawn, find in kept:
        for kind in LABEL_KINDS.values():
            if kind.about == "find":
                for label in texts_of_finds([find.pk], "http://box.local", kind):
                    for form in shorter_phrases(label.made_words):
                        told(form, drawn, f"label {kind.name}")
        (heading,) = texts_of_groups([find.pk], GROUPINGS["town"])
        told(heading.made_words, drawn, "heading of a group")
        told(json.dumps(slip_words(find)["made_words"], ensure_ascii=False), drawn, "slip")
        for row in list_of_finds(keys, title="All").rows:
            told(row.made_words, drawn, "list on paper")


def test_programs_and_files(kept: Kept, client: Client, tmp_path_factory: pytest.TempPathFactory) -> None:
    keys = [find.pk for _, find in kept]
    whole = {"Authorization": f"Bearer {make_api_key('A program', 'whole')}"}
    target = tmp_path_factory.mktemp("stick") / "pages"
    make_pages(target)
    files = {
        "lido": "".join(lido_parts(rows_of(keys, public=False))),
        "csv": "".join(csv_lines(rows_of(keys, public=False), public=False)),
        **{path.name: shown(path.read_bytes()) for path in target.rglob("*.html")},
        **{path.name: path.read_text(encoding="utf-8") for path in target.rglob("*.js*")},
        "api": client.get("/api/v1/finds/", headers=whole).content.decode(),
    }
    assert all(f"{find.number}.html" in files and find.number in files["api"] for _, find in kept)
    for drawn, find in kept:
        for path, text in files.items():
            told(text, drawn, path)
        assert drawn.finding.words in files[f"{find.number}.html"]
        assert drawn.finding.words in files["lido"] and drawn.finding.words in files["api"]
