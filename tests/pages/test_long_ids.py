"""A number in an address that no column of the database holds leads nowhere: every route, every place."""

import re
from collections.abc import Iterator

import pytest
from django.urls import URLPattern, URLResolver, get_resolver

from catalogue.pages.converters import WholeNumber

TOO_LONG = ("9223372036854775808", "9" * 20, "1" + "0" * 400)


def routes(resolver: URLResolver, before: str = "") -> Iterator[str]:
    for each in resolver.url_patterns:
        route = before + str(each.pattern)
        if isinstance(each, URLResolver):
            if each.namespace != "admin":
                yield from routes(each, route)
        elif isinstance(each, URLPattern):
            yield route


WITH_NUMBERS = [route for route in routes(get_resolver()) if "<whole:" in route]


def test_no_route_takes_a_number_of_any_length():
    assert [route for route in routes(get_resolver()) if "<int:" in route] == []
    assert len(WITH_NUMBERS) > 40


@pytest.mark.django_db
@pytest.mark.parametrize("route", WITH_NUMBERS)
def test_each_number_of_an_address_is_bounded(owner_client, route):
    places = list(re.finditer(r"<whole:\w+>", route))
    for long_one in TOO_LONG:
        for n, _ in enumerate(places):
            parts = iter(long_one if each == n else "1" for each in range(len(places)))
            address = re.sub(r"<whole:\w+>", lambda match, parts=parts: next(parts), route)
            address = re.sub(r"<number:\w+>", "2026.1.1", re.sub(r"<(?!whole|number)[^>]*>", "find", address))
            # Without a key of a program's nothing below its addresses is looked up (`nothing_here`).
            asked, sent = (401, 405) if route.startswith("api/v1/") else (404, 404)
            assert owner_client.get(f"/{address}").status_code == asked, address
            assert owner_client.post(f"/{address}").status_code == sent, address


@pytest.mark.parametrize(("typed", "number"), [("0", 0), ("7", 7), ("9223372036854775807", 2**63 - 1)])
def test_what_a_column_holds_is_taken(typed, number):
    assert WholeNumber().to_python(typed) == number
