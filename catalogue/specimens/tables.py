"""The published tables joined with what the user added (the reference the whole web side dates with), and the
makers of the catalogue behind their marks."""

import hashlib
import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from django.db.models import Count, Max

import dating
from catalogue.specimens.models.words import MakerHow
from dating.ranking import likeliest_maker

from .models import Bottler, Maker, OwnCode, OwnMark

_joined: dict[str, dating.Reference] = {}


def current_reference() -> dating.Reference:
    """The published tables with the user's own marks and codes; four small queries tell of a change."""
    stamp = _stamp()
    if stamp not in _joined:
        _joined.clear()
        marks, codes = own_rows()
        _joined[stamp] = (
            dating.reference().with_own(marks=marks, date_codes=codes) if marks else dating.reference()
        )
    return _joined[stamp]


def own_rows() -> tuple[list[dict[str, str]], list[dict[str, str]]]:
    """The user's marks and codes in the columns of the published tables."""
    marks = list(OwnMark.objects.filter(maker__binned_at=None).select_related("maker").order_by("pk"))
    codes = list(
        OwnCode.objects.filter(maker__binned_at=None)
        .select_related("bottler", "product", "works")
        .prefetch_related("marks")
        .order_by("pk")
    )
    of_maker: dict[int, list[str]] = {}
    for mark in marks:
        of_maker.setdefault(mark.maker_id, []).append(mark.key)
    return (
        [mark_row(mark) for mark in marks],
        [code_row(code, of_maker.get(code.maker_id, ())) for code in codes if of_maker.get(code.maker_id)],
    )


def mark_row(mark: OwnMark) -> dict[str, str]:
    """One own mark as a row of the marks table."""
    return {
        "id": mark.key,
        "letters": mark.letters,
        "symbol": mark.symbol,
        "frame": mark.frame or "none",
        "arrangement": mark.arrangement or "plain",
        "text": mark.text or mark.letters or mark.symbol,
        "maker": mark.maker.name,
        "place": mark.maker.place,
        "country": mark.maker.country,
        "used_from": _year(mark.from_year),
        "used_to": _year(mark.to_year),
        "from_circa": "true" if mark.from_circa else "false",
        "to_circa": "true" if mark.to_circa else "false",
        "window_of": mark.window_of,
        "found_on": mark.found_on,
        "source": "own",
        "locator": mark.source,
        "basis": "published",
        "note": mark.note,
    }


def code_row(code: OwnCode, maker_marks: Iterable[str]) -> dict[str, str]:
    """One own code as a row of the date codes table; with no marks named it holds for all its maker's."""
    marks = [mark.key for mark in code.marks.all()] if code.pk else []
    return {
        "id": code.key,
        "mark_ids": ";".join(marks or maker_marks),
        "contents": code.contents,
        "bottler": code.bottler.name if code.bottler else "",
        "product": code.product.name if code.product else "",
        "works": code.works.name if code.works else "",
        "region": code.region,
        "position": code.position,
        "kind": code.kind,
        "valid_from": _year(code.valid_from),
        "valid_to": _year(code.valid_to),
        "table": code.table,
        "example": "",
        "source": "own",
        "locator": code.source,
        "basis": "published",
        "note": code.note,
    }


def _year(year: int | None) -> str:
    return "" if year is None else str(year)


def _stamp() -> str:
    watched = (
        Maker.everything.filter(own_marks__isnull=False),
        OwnMark.everything.all(),
        # a code bound to a bottler names it, so a changed name is a changed row
        Bottler.everything.filter(codes__isnull=False),
    )
    parts = [rows.aggregate(n=Count("pk"), at=Max("changed")) for rows in watched]
    # likewise with a product and with works
    parts.append(
        OwnCode.everything.aggregate(
            n=Count("pk"), at=Max("changed"), product=Max("product__changed"), works=Max("works__changed")
        )
    )
    text = json.dumps([[str(value) for value in part.values()] for part in parts])
    return hashlib.sha256((dating.reference().version + text).encode()).hexdigest()[:16]


SHOWN_FROM = 0.5


@dataclass(frozen=True, slots=True)
class Shown:
    """The maker that a find shows, and on what ground."""

    maker: Maker | None = None
    how: str = ""
    probability: float | None = None


def reference_key(name: str, place: str) -> str:
    """What ties a published maker to its row; two houses of one name in different places stay apart."""
    return f"{name} | {place}"[:300]


def maker_of(mark_id: str) -> Maker | None:
    """The maker behind a candidate of the dating service."""
    if mark_id.startswith("own-"):
        key = int(mark_id.removeprefix("own-"))
        own = OwnMark.everything.select_related("maker").filter(pk=key).first()
        return own.maker if own else None
    mark = dating.reference().marks.get(mark_id)
    if mark is None:
        return None
    return Maker.everything.filter(reference_key=reference_key(mark.maker, mark.place)).first()


def maker_shown(
    finding: dating.Finding, opinion: Maker | None, maker_of: Callable[[str], Maker | None] = maker_of
) -> Shown:
    """The current opinion, else the maker whose marks together have at least an even chance.

    `maker_of` spares who asks for many finds a query for each.
    """
    if opinion is not None:
        return Shown(opinion, MakerHow.OPINION, None)
    likeliest = likeliest_maker(finding)
    return maker_by_chance((likeliest.mark_id, likeliest.share) if likeliest else None, maker_of)


def maker_by_chance(
    likeliest: tuple[str, float] | None, maker_of: Callable[[str], Maker | None] = maker_of
) -> Shown:
    """The maker of the likeliest mark, given with the chance of all marks of its maker, if that is even."""
    if likeliest is None or likeliest[1] < SHOWN_FROM:
        return Shown()
    maker = maker_of(likeliest[0])
    # a published maker that has not been brought in yet can't be shown
    return Shown(maker, MakerHow.LIKELY, round(likeliest[1], 4)) if maker else Shown()
