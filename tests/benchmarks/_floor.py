"""The least that a page can take: its own queries put to the database directly, and its template alone.

The template is filled from plain objects that know every word already: no model, no drawing, no counting.
"""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import SimpleNamespace
from typing import Any
from unittest import mock

from django.db import connection
from django.http import HttpResponse
from django.template.loader import render_to_string
from django.test import Client, RequestFactory

from catalogue.pages.finds.list import views as page

Query = tuple[str, tuple]


@contextmanager
def noted(queries: list[Query]) -> Iterator[None]:
    """Write down the queries that are asked meanwhile, in the database's own words."""

    def note(execute: Callable, sql: str, params: Any, many: bool, context: dict) -> Any:
        queries.append((sql % (("?",) * len(params or ())) if params else sql, tuple(params or ())))
        return execute(sql, params, many, context)

    with connection.execute_wrapper(note):
        yield


def floor_of(client: Client, address: str) -> tuple[Callable[[], object], int]:
    """What to run for the floor of the finds list at that address, and how many queries it has."""
    queries: list[Query] = []
    kept: dict[str, Any] = {}

    def keep(request: Any, template: str, context: dict[str, Any]) -> HttpResponse:
        kept.update(template=template, context=plain_context(context))
        return HttpResponse()

    with mock.patch.object(page, "render", keep), noted(queries):
        client.get(address)
    store = sqlite3.connect(connection.settings_dict["NAME"])
    request = RequestFactory().get(address)
    request.user = SimpleNamespace(is_authenticated=True)
    request.htmx = False

    def run() -> object:
        for sql, params in queries:
            store.execute(sql, params).fetchall()
        return render_to_string(kept["template"], kept["context"], request)

    return run, len(queries)


def plain_context(context: dict[str, Any]) -> dict[str, Any]:
    """The page's context without models, pages, forms or anything that could ask the database."""
    shown = context["page"]
    numbers = {"has_previous": shown.has_previous(), "has_next": shown.has_next(), "number": shown.number}
    numbers["previous_page_number"], numbers["next_page_number"] = shown.number - 1, shown.number + 1
    paginator = SimpleNamespace(count=shown.paginator.count, num_pages=shown.paginator.num_pages)
    return context | {
        "page": SimpleNamespace(paginator=paginator, **numbers),
        "cards": [plain_card(card) for card in context["cards"]],
        "table": [(plain_card(card), cells) for card, cells in context["table"]],
        "filters": SimpleNamespace(words=context["filters"].words),
    }


def plain_card(card: Any) -> SimpleNamespace:
    """A card of words alone."""
    find, cover = card.find, card.cover
    words = {
        name: getattr(find, name)
        for name in ("number", "what", "made_words", "maker_how", "stage", "standing")
    }
    words |= {
        name: getattr(find, name)()
        for name in ("get_absolute_url", "get_stage_display", "get_standing_display")
    }
    words["place"] = str(find.place or "")
    for name in ("town", "maker"):
        row = getattr(find, name)
        words[name] = row and SimpleNamespace(name=row.name, get_absolute_url=row.get_absolute_url())
    picture = cover and SimpleNamespace(pk=cover.pk, width=cover.width, height=cover.height)
    return SimpleNamespace(
        find=SimpleNamespace(**words),
        cover=picture,
        ruler=card.ruler,
        outline=card.outline,
        hits=card.hits,
    )
