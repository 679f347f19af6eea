"""A list read in parts by a cursor: what stands after the row that the part before ended with."""

import base64
import binascii
from collections.abc import Sequence
from http import HTTPStatus
from typing import Any

from django.db.models import QuerySet
from django.http import HttpRequest

from catalogue.common.limits import key_typed

from .problems import ApiProblem

LONGEST_PART, USUAL_PART = 200, 50
# What an address says of how it is read, not of what.
PART_OF_READING = ("cursor", "limit")


def part_of(request: HttpRequest, rows: QuerySet[Any]) -> tuple[list[int], str]:
    """Keys of the next rows, the oldest first, and the cursor of what follows, empty at the end. One query.

    By key, so that what is added meanwhile comes last and nothing is read twice or left out.
    """
    size = _size(request)
    after = _after(request.GET.get("cursor", ""))
    keys = list(rows.filter(pk__gt=after).order_by("pk").values_list("pk", flat=True)[: size + 1])
    more = len(keys) > size
    return keys[:size], _cursor(keys[size - 1]) if more else ""


def answer_part(request: HttpRequest, items: Sequence[Any], cursor: str) -> dict[str, Any]:
    """What a list answers: its rows, and the address of the next part, also as a header (RFC 8288)."""
    if not cursor:
        return {"items": items, "next": None}
    said = request.GET.copy()
    said["cursor"] = cursor
    address = f"{request.path}?{said.urlencode()}"
    return {"items": items, "next": address, "_links": f'<{address}>; rel="next"'}


def unknown_names(request: HttpRequest, known: Sequence[str]) -> None:
    """Raise ApiProblem for what the address says that no list knows: a mistyped filter would give all."""
    unknown = sorted(set(request.GET) - {*known, *PART_OF_READING})
    if unknown:
        can = ", ".join([*known, *PART_OF_READING])
        words = f"Nothing here is called {unknown[0][:60]!r}: an address may say {can}."
        raise ApiProblem(HTTPStatus.BAD_REQUEST, words)


def _size(request: HttpRequest) -> int:
    said = request.GET.get("limit", str(USUAL_PART))
    if not (said.isascii() and said.isdigit() and len(said) < 6 and 1 <= int(said) <= LONGEST_PART):
        raise ApiProblem(HTTPStatus.BAD_REQUEST, f"A limit is a number from 1 to {LONGEST_PART}.")
    return int(said)


def _cursor(key: int) -> str:
    return base64.urlsafe_b64encode(f"after {key}".encode()).decode().rstrip("=")


def _after(cursor: str) -> int:
    if not cursor:
        return 0
    try:
        word, _, key = base64.urlsafe_b64decode(cursor + "=" * (-len(cursor) % 4)).decode().partition(" ")
        if word == "after" and (after := key_typed(key)) is not None:
            return after
    except (ValueError, binascii.Error):
        pass
    words = "That cursor can't be read: take it as it stood under next, or begin without one."
    raise ApiProblem(HTTPStatus.BAD_REQUEST, words)
