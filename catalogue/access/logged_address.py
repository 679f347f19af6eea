"""An address as the log may hold it: numbers and the words of the program, no name, key or query."""

import re
from urllib.parse import unquote

from django.http import HttpRequest

# Numbers of rows, finds and days, sizes and formats: what a programmer needs, and nobody's secret.
PLAIN = re.compile(r"[\d.-]+[a-z]?|[a-z]{1,6}")
LEFT_OUT_PART = "…"


def logged_address(request: HttpRequest) -> str:
    """The path of a request with each part hidden that a name or a key may stand in."""
    match = request.resolver_match
    if match is None:
        # One that leads nowhere can hold anything.
        return f"/{LEFT_OUT_PART}"
    parts = request.path.split("/")
    given = {unquote(str(value)) for value in (*match.args, *match.kwargs.values())}
    secret = {part for value in given if not PLAIN.fullmatch(value) for part in value.split("/")}
    return "/".join(LEFT_OUT_PART if unquote(part) in secret and part else part for part in parts)


def without_private(text: str, request: HttpRequest) -> str:
    """A logged text in which the address of its request stands as it may."""
    shown = logged_address(request)
    for written in {request.get_full_path(), request.path, unquote(request.path)}:
        text = text.replace(written, shown)
    return text
