"""A form sent twice is kept once: after a dropped connection the second sending leads to the find."""

from django.http import HttpRequest

KEY = "kept_forms"
REMEMBERED = 30


def kept_lately(request: HttpRequest) -> dict[str, str]:
    """The forms of this browser that were kept, with the numbers their finds got."""
    kept: dict[str, str] = request.session.get(KEY, {})
    return kept


def remember(request: HttpRequest, once: str, number: str) -> None:
    """Note that the form with this mark was kept."""
    if not once:
        return
    kept = {**kept_lately(request), once[:40]: number}
    request.session[KEY] = dict(list(kept.items())[-REMEMBERED:])
