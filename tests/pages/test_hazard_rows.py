"""Every page that names a find says what it has: walked over the routes of the whole catalogue.

`SILENT` holds the pages that may name a piece without it, each with its reason.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from html.parser import HTMLParser

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver
from django.utils import timezone

from catalogue.care.models import Treatment
from catalogue.care.services import choose, note_look, start_load, start_soak
from catalogue.giving import services as giving
from catalogue.photos.services import take_in
from catalogue.sites.models import Dive
from catalogue.specimens.models import PhraseChange, Specimen, TwinGroup
from catalogue.specimens.models.reading import Opinion
from tests import factories as make
from tests.care.makers import bath, crusted, soak, tool, tub
from tests.photos.drawn import jpeg

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("data_folder")]

# Where a find is named by what a form has typed in it, or in a list of choices that holds plain words.
SILENT: dict[str, str] = {}
# Pages of one find that this world does not lead to: each shows one of the heads that others show.
NOT_REACHED = {
    "finds/<number:number>/changes/<whole:stamp>/": "wants a stamp of its history; the head of the changes",
    "workbench/<number:number>/condition/<whole:pk>/": "no report; its head is that of a new one",
}


def routes(resolver: URLResolver, before: str = "") -> Iterator[str]:
    for each in resolver.url_patterns:
        route = before + str(each.pattern).lstrip("^")
        if isinstance(each, URLResolver):
            if each.namespace != "admin":
                yield from routes(each, route)
        elif isinstance(each, URLPattern):
            yield route


# Pictures and papers name nothing.
FILES = (".jpg", ".webp", ".png", ".jpg$", ".pdf", "original/", "paper/")
ROUTES = sorted(r for r in routes(get_resolver()) if not r.startswith("admin") and not r.endswith(FILES))


@dataclass
class World:
    """The pieces, and what stands in the addresses that lead to them: by how a route begins."""

    pieces: list[Specimen]
    dive: Dive
    keys: dict[str, int]
    slugs: dict[str, str]


@pytest.fixture
def world() -> World:
    """A sealed piece wherever one can be: on a dive and a shelf, in a bath and a soak, promised, gone."""
    site, place, vessel = make.site("Heron Ledge"), make.place("Hall case"), tub()
    ola = make.person("Ola")
    dive, maker, town = make.dive(site), make.brackwater(), make.town("Marrowby")
    bottler, twins = make.bottler("Quill & Sons", town=town), TwinGroup.objects.create()
    shared = {"dive": dive, "place": place, "town": town, "bottler": bottler, "twin_group": twins}
    pieces = [crusted(f"Piece {n}", **shared) for n in range(6)]
    bathed, chosen, soaked, promised, gone, pictured = pieces
    done = bath(bathed, vessel=vessel)
    start_load(done)
    choose(done, chosen)
    steep = start_soak(soak("Blue crate"), [soaked])
    giving.mark(pictured, "free")
    giving.promise(promised, ola)
    giving.hand_over(gone, make.person("Ida"))
    Opinion.objects.create(find=chosen, about="maker", value=str(maker), maker=maker, on=dive.date)
    photo = take_in(jpeg(width=400, height=200), subject=pictured)
    treatment = Treatment.objects.create(find=pictured, method="soak", begun=timezone.now())
    for piece in pieces:
        note_look(piece, ["sealed"])
        PhraseChange.objects.create(find=piece, was="before 1900", now="before 1920", tables="x")
    keys = {
        "workbench/baths": done.pk,
        "workbench/soaks": steep.pk,
        "workbench/vessels": vessel.pk,
        "workbench/kit": tool().pk,
        "workbench/<number": treatment.pk,
        "shelves/": place.pk,
        "photos/": photo.pk,
        "people/": ola.pk,
    }
    slugs = {
        "dives/sites/": site.slug,
        "makers/": maker.slug,
        "towns/bottlers": bottler.slug,
        "towns/": town.slug,
    }
    return World(pieces, dive, keys, slugs)


def addresses(route: str, world: World) -> list[str]:
    """Addresses of a route; where nothing of this world fits, a number that leads nowhere."""
    pk = next((pk for start, pk in world.keys.items() if route.startswith(start)), 1)
    slug = next((slug for start, slug in world.slugs.items() if route.startswith(start)), "none")
    filled = route.replace("<str:slug>", slug).replace("<whole:pk>", str(pk))
    filled = filled.replace("<whole:year>", str(world.dive.year))
    filled = filled.replace("<whole:ordinal>", str(world.dive.ordinal))
    # the one that is gone and the one that is free show all that a page of one find can hold
    numbers = [piece.number for piece in world.pieces[-2:]] if "<number:number>" in route else [""]
    made = [filled.replace("<number:number>", number) for number in numbers]
    return ["/" + re.sub(r"<[^>]*>|\(\?P.*\)\$?", "1", address) for address in made]


class Read(HTMLParser):
    """What is seen or read out of a page: text alone, hazard lines as one word of their own."""

    def __init__(self) -> None:
        super().__init__()
        self.words: list[str] = []
        self.unheard = 0

    @classmethod
    def of(cls, page: str) -> str:
        read = cls()
        read.feed(page)
        return " ".join(read.words)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.unheard += tag in ("script", "style", "title", "select", "datalist")
        if "hazard" in (dict(attrs).get("class") or ""):
            self.words.append("<HAZARD>")

    def handle_endtag(self, tag: str) -> None:
        self.unheard -= tag in ("script", "style", "title", "select", "datalist")

    def handle_data(self, data: str) -> None:
        if not self.unheard:
            self.words.append(data)


def unsaid(page: str, pieces: list[Specimen]) -> list[str]:
    """Numbers of the pieces that a page names, where fewer hazards are told than pieces are named."""
    text = Read.of(page)
    named = [
        piece.number for piece in pieces if re.search(rf"(?<![\d.]){re.escape(piece.number)}(?![\d.])", text)
    ]
    named += [p.number for p in pieces if p.number not in named and re.search(rf"\b{p.what}\b", text)]
    told = len(re.findall(r"<HAZARD>\s*(?:Careful[:\s]+)?[^<]{0,60}sealed", text, re.IGNORECASE))
    return named if told < len(named) else []


def test_every_page_that_names_a_sealed_piece_says_so(owner_client: Client, world: World) -> None:
    wrong, answered = {}, set()
    for route in ROUTES:
        for address in addresses(route, world):
            answer = owner_client.get(address)
            # 302: one that leads on; 405: one that is only posted to
            if answer.status_code in (200, 302, 405):
                answered.add(route)
            if answer.status_code != 200 or "html" not in answer.get("Content-Type", ""):
                continue
            if left := unsaid(answer.content.decode(), world.pieces):
                wrong[route] = left
    assert {route: left for route, left in wrong.items() if route not in SILENT} == {}
    assert set(SILENT) <= set(wrong)
    of_a_find = {route for route in ROUTES if "<number:" in route}
    assert of_a_find - answered == set(NOT_REACHED)
    assert len(answered) > 100


def test_a_row_without_its_hazard_would_be_found(world: World) -> None:
    number = world.pieces[0].number
    assert unsaid(f"<li>{number} jar</li>", world.pieces) == [number]
    line = '<span class="hazard-line"><b>Careful:</b> sealed</span>'
    assert unsaid(f"<li>{number} jar {line}</li>", world.pieces) == []
    assert unsaid(f"<li>{number} jar</li><li>{world.pieces[1].number} {line}</li>", world.pieces) != []


def test_a_visitor_is_told_what_protects_and_nothing_private(client: Client) -> None:
    site = make.site("Wreck of the Tern", wreck="yes", hold_cleared_reason="The receiver let it go, paper 12")
    # what was free is held back by then (tests/pages/giving/test_held_back.py); what is shared stays
    find = crusted("Ginger jar", dive=make.dive(site), shared=True)
    note_look(find, ["sealed", "paper_label"])
    type(site).objects.update(hold_cleared_reason="")
    find.refresh_from_db()
    assert find.care_flags == "|hold|paper_label|sealed|"
    for page in ("/giving/", f"/finds/{find.number}/"):
        text = client.get(page).content.decode()
        assert "closed, with something in it: it is not opened, shaken or warmed" in text, page
        for private in ("on hold", "wreck", "Tern", "foil"):
            assert private not in Read.of(text), (page, private)


@pytest.mark.parametrize(
    ("query", "shown"),
    [
        ("hazard=any", {"one", "two"}),
        ("hazard=sealed", {"one"}),
        ("hazard=sealed&hazard=unstable", {"one", "two"}),
        ("hazard=-", {"three", "four"}),
        ("hazard=-&hazard=unstable", {"two", "three", "four"}),
    ],
)
def test_the_list_of_finds_is_narrowed_by_hazards(owner_client: Client, query: str, shown: set[str]) -> None:
    crusted("one", found=("sealed", "crack"))
    crusted("two", found=("unstable",))
    # a crack forbids acid, and stands under no name
    crusted("three", found=("crack",))
    Specimen.objects.filter(pk=crusted("four").pk).update(care_flags=None)
    answer = owner_client.get(f"/finds/?{query}")
    assert {card.find.what for card in answer.context["cards"]} == shown
    group = next(each for each in answer.context["panel"] if each.key == "hazard")
    told = {choice.value: choice.count for choice in group.choices}
    assert told == {"any": 2, "sealed": 1, "unstable": 1, "-": 2}


def test_without_any_hazard_the_list_offers_no_such_filter(owner_client: Client) -> None:
    crusted()
    assert "hazard" not in {each.key for each in owner_client.get("/finds/").context["panel"]}
