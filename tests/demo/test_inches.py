"""With the setting on inches and ounces no page of the demo shows a size in mm or cm, or a mass in g."""

import re
from collections.abc import Iterator
from html import unescape

import pytest
from django.test import Client
from django.urls import Resolver404, resolve

import dating
from catalogue.common.models import HouseSettings
from catalogue.photos.models import Photo

pytestmark = pytest.mark.django_db
METRIC = re.compile(r"\b\d[\d.,]*\s*(?:mm|cm|g)\b|, (?:mm|cm|g)\b")
# What leads out or hands over a file, which stays open until its answer is closed.
NOT_A_PAGE = ("/leave/", "/static/", "/admin/", "/original/", "/pages/file/")
NOT_A_PAGE += (".jpg", ".pdf", ".zip", ".csv", ".json")
BEGIN = ("/", "/finds/?view=table&col=height&col=mass", "/finds/?view=shelf", "/finds/2026.0.1/edit/")


def addresses(page: str) -> Iterator[str]:
    for address in re.findall(r'<a [^>]*href="(/[^"#]*)', page):
        yield unescape(address)


def seen(page: str) -> str:
    """The words of a page, and what stands in its boxes and is read aloud."""
    page = re.sub(r'<input type="hidden"[^>]*>', "", page)
    said = re.findall(r'(?:aria-label|placeholder|alt|title|aria-valuetext|value)="([^"]*)"', page)
    text = re.sub(r"<(script|style)\b.*?</\1>|<[^>]*>", " ", page, flags=re.S)
    return unescape(" ".join(text.split()) + " | " + " | ".join(said))


def crawl(client: Client) -> Iterator[tuple[str, str, str]]:
    """Route, address and text of one page of each route that links lead to."""
    photo = Photo.objects.filter(find__isnull=False).select_related("find").first()
    first = {*BEGIN, f"/finds/{photo.find.number}/measure/?photo={photo.pk}"}
    waiting, routes, been = sorted(first), set(), set()
    while waiting:
        address = waiting.pop(0)
        if address in been:
            continue
        been.add(address)
        if any(part in address for part in NOT_A_PAGE):
            continue
        try:
            route = resolve(address.partition("?")[0]).view_name
        except Resolver404:
            continue
        if route in routes and address not in first:
            continue
        routes.add(route)
        answer = client.get(address, follow=True)
        assert not answer.streaming, address
        if "text/html" in answer.headers["Content-Type"]:
            page = answer.content.decode()
            yield route, address, seen(page)
            waiting += addresses(page)


def published_sizes() -> set[str]:
    """Sizes within the words of the reference tables: they stay as their sources have them."""
    words = (text for row in dating.reference().features.values() for text in (row.term, row.how_to_see))
    return {found.group() for text in words for found in METRIC.finditer(text)}


# Where the measure is metric by its standard, and where a box says all that can be typed.
STANDING = (
    'As you measured it: 83 mm, 24 cm, 9 1/2", 9.5 in; 510 g, 18 oz, 1 lb 2 oz.',
    # how strong a solution is, as the chemistry has it
    "10 to 20 g of baking soda to the litre",
    "100 g to the litre",
    "a litre of 31.45 % acid needs about 838 g of baking soda",
    # what a spreadsheet may hold in any unit
    '24 cm, 240mm, 9 1/2", 1 lb 2 oz',
)
# Label sheets are sold by their mm, and a printer is set right by mm; what programs read is metric alone.
METRIC_PAGES = {
    "labels:labels",
    "labels:own_sheets",
    "labels:own_sheet_new",
    "labels:own_sheet",
    "api:documentation",
}


def test_no_page_shows_a_size_in_mm_or_a_mass_in_g(filled, owner_client: Client):
    HouseSettings(units="inch").save()
    published, metric, visited = published_sizes(), [], set()
    for route, address, text in crawl(owner_client):
        visited.add(route)
        for words in STANDING:
            text = text.replace(words, "")
        metric += [
            (address, text[max(0, found.start() - 60) : found.end() + 20])
            for found in METRIC.finditer(text)
            if route not in METRIC_PAGES and found.group() not in published
        ]
    assert {
        "finds:finds",
        "finds:find",
        "finds:find_edit",
        "finds:measure",
        "workbench:bath",
        "workbench:kit",
    } <= visited
    assert not metric
