"""A catalogue far larger than a life of diving fills, written with bulk inserts; every word is invented.

Spread as shelves are: a few towns and makers hold most pieces, most have one or two; many pieces show little.
"""

import datetime
import hashlib
import random
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, islice

from django.db import transaction

import dating
from catalogue.photos.models import Photo
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Site
from catalogue.specimens.derived.entries import fill_missing
from catalogue.specimens.derived.word_list import count_words, listed_words
from catalogue.specimens.models import (
    Bottler,
    Inscription,
    KnownYears,
    MarkReading,
    ObservedFeature,
    SearchEntry,
    Specimen,
    Town,
)
from catalogue.specimens.search.folding import fold
from catalogue.specimens.search.index import index_made_anew
from catalogue.specimens.tables import current_reference

TOWNS = ("Port Ellarn", "Brinemouth", "Marrowby", "Inchgate", "Quarl Harbour", "East Velmoor")
SIDES = ("", "Upper", "Lower", "Old", "New", "North", "South", "West", "Little", "Great", "Far", "Outer")
SITES = ("Heron Ledge", "Old Ferry Stairs", "Tallow Cove", "Lantern Cove", "Packers' Pilings", "Whelk Bank")
FIRMS = ("Quill & Sons", "Ormer Springs", "Velmoor Dairy", "Gannet Ales", "Tallow Lane Chemist")
WORDS = ("silt", "ledge", "net", "pale", "deep", "worn", "lip", "crown", "hand", "blown", "seam", "stain")
RARE, ABSENT = "corkwing", "zanzibarine"
SYLLABLES = (
    *("ba", "be", "cra", "dre", "fin", "gol", "har", "im", "jo", "kel", "lum", "mor", "nar", "os", "pel"),
    *("quin", "ros", "tar", "ul", "ven", "wex", "yor", "thi", "sho"),
)
RARE_WORDS = 40_000
FIRST_YEAR, LAST_YEAR = 1987, 2026
PER_DIVE = 9
BATCH = 5000
Rows = Iterator


class Uneven:
    """Draws from a row of things, the n-th 1/n times as often as the first."""

    def __init__(self, draw: random.Random, things: Sequence) -> None:
        self._draw, self._things = draw, things
        self._weights = list(accumulate(1 / (n + 1) for n in range(len(things))))

    def __call__(self):
        return self._draw.choices(self._things, cum_weights=self._weights)[0]


@dataclass(slots=True)
class Around:
    """What finds point at."""

    towns: list[Town]
    bottlers: list[Bottler]
    places: list[Place]
    dives: list[Dive]
    sites: list[Site]


def fill(finds: int, seed: int = 1) -> None:
    """`finds` finds, three pictures each, and what they point at."""
    draw = random.Random(seed)
    around = _around(draw, finds)
    texts: list[str] = []
    _write(Specimen, _noting(_finds(draw, around, finds), texts))
    keys = list(Specimen.objects.order_by("pk").values_list("pk", flat=True))
    _write(Photo, _photos(draw, keys))
    _write(MarkReading, _readings(draw, keys))
    _write(ObservedFeature, _features(draw, keys))
    _write(Inscription, _inscriptions(draw, keys))
    _write(KnownYears, _known(draw, keys))
    _entries(draw, keys, texts)


def _write(model: type, rows: Rows) -> None:
    while part := list(islice(rows, BATCH)):
        model.objects.bulk_create(part)


def _noting(rows: Rows, texts: list[str]) -> Rows:
    for row, text in rows:
        texts.append(text)
        yield row


def _entries(draw: random.Random, keys: list[int], texts: list[str]) -> None:
    """What the search reads of the finds, each with a few of very many rare words; the rest as it is kept."""
    rare = ["".join(draw.choices(SYLLABLES, k=draw.choice((2, 3, 4)))) for _ in range(RARE_WORDS)]
    words: Counter[str] = Counter()
    entries = []
    for key, text in zip(keys, texts, strict=True):
        entry = SearchEntry(id=key, text=f"{text}\n {' '.join(draw.choices(rare, k=3))} ")
        words.update(listed_words(entry.text))
        entries.append(entry)
    with transaction.atomic(), index_made_anew():
        _write(SearchEntry, iter(entries))
        count_words(words)
        fill_missing()


def _around(draw: random.Random, finds: int) -> Around:
    names = [f"{side} {town}".strip() for side in SIDES for town in TOWNS]
    towns = Town.objects.bulk_create(Town(name=name, slug=f"town-{n}") for n, name in enumerate(names))
    bottlers = Bottler.objects.bulk_create(
        Bottler(
            name=f"{firm}, {town.name}",
            slug=f"firm-{n}-{town.slug}",
            town=town,
            from_year=draw.choice((None, 1850 + draw.randrange(80))),
        )
        for town in towns
        for n, firm in enumerate(FIRMS)
    )
    sites = Site.objects.bulk_create(
        Site(name=f"{side} {site}".strip(), slug=f"site-{n}-{m}")
        for n, side in enumerate(SIDES[:8])
        for m, site in enumerate(SITES)
    )
    places = Place.objects.bulk_create(
        Place(name=f"case {n}, shelf {m}", path=f"Hall, case {n}, shelf {m}")
        for n in range(12)
        for m in range(1, 9)
    )
    years = LAST_YEAR - FIRST_YEAR + 1
    a_year = max(1, finds // PER_DIVE // years)
    site = Uneven(draw, sites)
    dives = Dive.objects.bulk_create(
        Dive(
            site=site(),
            year=year,
            ordinal=n,
            date=datetime.date(year, 1, 1) + datetime.timedelta(n * 300 // a_year),
        )
        for year in range(FIRST_YEAR, LAST_YEAR + 1)
        for n in range(1, a_year + 1)
    )
    return Around(towns, bottlers, places, dives, sites)


def _finds(draw: random.Random, around: Around, count: int) -> Rows:
    town, bottler, place = (Uneven(draw, each) for each in (around.towns, around.bottlers, around.places))
    kind, colour = Uneven(draw, Specimen.Kind.values), Uneven(draw, Specimen.Colour.values)
    contents = Uneven(draw, Specimen.Contents.values)
    stage = Uneven(draw, ("done", "soaking", "wet", "cleaning", "drying"))
    standing = Uneven(draw, Specimen.Standing.values)
    rare = set(draw.sample(range(count), min(5, count)))
    given: Counter = Counter()
    for n in range(count):
        # recorded as they came up, dive by dive
        dive = around.dives[n * len(around.dives) // count] if draw.random() < 0.93 else None
        year, ordinal = (dive.year, dive.ordinal) if dive else (draw.randint(FIRST_YEAR, LAST_YEAR), 0)
        sold = bottler() if draw.random() < 0.4 else None
        given[year, ordinal] += 1
        piece = given[year, ordinal]
        find = Specimen(
            number=f"{year}.{ordinal}.{piece}",
            number_year=year,
            number_ordinal=ordinal,
            number_piece=piece,
            dive=dive,
            site=None if dive or draw.random() < 0.5 else draw.choice(around.sites),
            what=f"{colour()} {kind()} bottle, {draw.choice(WORDS)}",
            kind=kind() if draw.random() < 0.9 else "",
            contents=contents() if draw.random() < 0.6 else "",
            colour=colour() if draw.random() < 0.9 else "",
            bottler=sold,
            town=sold.town if sold else town() if draw.random() < 0.3 else None,
            stage=stage(),
            standing=standing(),
            place=place() if draw.random() < 0.8 else None,
            **_sizes(draw),
            notes=" ".join(draw.choices(WORDS, k=60)) if draw.random() < 0.3 else "",
        )
        told = [find.number, find.what, find.notes, str(sold or ""), str(find.town or "")]
        told += [RARE if n in rare else "", *draw.choices(WORDS, k=12), str(dive.site if dive else "")]
        yield find, fold(" ".join(told))


def _sizes(draw: random.Random) -> dict[str, int]:
    """Of every second piece what a rule and a jug tell, in mm and ml."""
    if draw.random() < 0.5:
        return {}
    height = draw.randint(60, 380)
    across = round(height * draw.uniform(0.2, 0.6))
    return {"height_mm": height, "diameter_mm": across, "capacity_ml": round(height * across**2 / 2000)}


def _photos(draw: random.Random, keys: list[int]) -> Rows:
    roles = [role for role in Photo.Role.values if role != "plate"]
    for key in keys:
        if draw.random() < 0.1:
            continue
        # three on average, none for every tenth
        for n in range(draw.choice((2, 3, 3, 4, 4, 4))):
            yield Photo(
                find_id=key,
                role=draw.choice(roles),
                order=n,
                sizes_made=True,
                sha256=hashlib.sha256(f"{key} {n}".encode()).hexdigest(),
                format="JPEG",
                bytes=3_000_000,
                width=4032,
                height=3024,
                original_name=f"IMG_{key}_{n}.jpg",
            )


def _readings(draw: random.Random, keys: list[int]) -> Rows:
    # the owner's own mark stands third, so that a change of it changes something
    marks = sorted(current_reference().marks.values(), key=lambda m: m.id)
    marks.insert(2, marks.pop(next(n for n, m in enumerate(marks) if m.id.startswith("own-"))))
    mark = Uneven(draw, marks)
    for key in keys:
        if draw.random() < 0.5:
            read = mark()
            worn = draw.random() < 0.2 and len(read.letters) > 1
            yield MarkReading(
                find_id=key,
                letters=read.letters[:-1] + "?" if worn else read.letters,
                symbol=read.symbol,
                frame=read.frame if draw.random() < 0.8 else None,
                right=draw.choice((None, "", "7", str(draw.randrange(100)))),
                certainty=draw.choice(("certain", "certain", "probable", "doubtful")),
            )


def _features(draw: random.Random, keys: list[int]) -> Rows:
    feature = Uneven(draw, draw.sample(sorted(dating.reference().features), len(dating.reference().features)))
    for key in keys:
        for name in {feature() for _ in range(draw.choice((0, 0, 1, 1, 2, 3)))}:
            certainty = draw.choice(("certain", "certain", "probable"))
            yield ObservedFeature(find_id=key, feature=name, certainty=certainty)


def _inscriptions(draw: random.Random, keys: list[int]) -> Rows:
    text = Uneven(draw, [f"{firm.upper()} / {town.upper()}" for firm in FIRMS for town in TOWNS])
    for key in keys:
        if draw.random() < 0.5:
            yield Inscription(find_id=key, text=text(), how=draw.choice(Inscription.How.values))


def _known(draw: random.Random, keys: list[int]) -> Rows:
    for key in keys:
        if draw.random() < 0.05:
            year = 1850 + draw.randrange(100)
            yield KnownYears(find_id=key, what="town directory", from_year=year, to_year=year + 20)
