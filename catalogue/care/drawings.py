"""SVG drawings of the bench: a vessel from the side and from above, a soak's readings as a time series."""

import math
from collections.abc import Sequence
from datetime import datetime

from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe

from catalogue.care.models import Soak
from catalogue.care.packing import Disc, Rectangle, Spot
from catalogue.care.volume import Shape
from catalogue.common.drawings.svg import drawing, esc, num, text

_WIDTH, _MARGIN = 340.0, 14.0
_TUB, _TALLEST, _LABELS = 170.0, 202.0, 60.0


def side_view(
    shape: Shape, *, rings: Sequence[tuple[float, str]], lines: Sequence[tuple[float, str]], words: str
) -> str:
    """`rings` are marks on the vessel, `lines` what to pour to: (mm above the bottom, words)."""
    scale = min(_TUB / shape.widest_mm, _TALLEST / shape.height_mm)
    # A low box takes no more of the page than it needs; the labels want some height of their own.
    height = max(shape.height_mm * scale, _LABELS if lines else 0) + 2 * _MARGIN
    middle, foot = _MARGIN + _TUB / 2, height - _MARGIN
    top = foot - shape.height_mm * scale

    def half(mm: float) -> float:
        return shape.width_at(mm) * scale / 2

    body = []
    if lines:
        full = max(mm for mm, _ in lines)
        body.append(
            f'<path class="tub-liquid" d="M{num(middle - half(full))} {num(foot - full * scale)}'
            f'H{num(middle + half(full))}L{num(middle + half(0))} {num(foot)}H{num(middle - half(0))}Z"/>'
        )
    body.append(
        f'<path class="tub-wall" d="M{num(middle - half(shape.height_mm))} {num(top)}'
        f"L{num(middle - half(0))} {num(foot)}H{num(middle + half(0))}"
        f'L{num(middle + half(shape.height_mm))} {num(top)}"/>'
    )
    for mm, _ in rings:
        ring_y = num(foot - mm * scale)
        body.append(f'<path class="tub-ring" d="M{num(middle - half(mm))} {ring_y}h{num(half(mm) * 2)}"/>')
    placed = _apart([foot - mm * scale for mm, _ in lines])
    for (mm, said), label in zip(lines, placed, strict=True):
        y, right = foot - mm * scale, middle + half(mm)
        body.append(
            f'<path class="tub-line" d="M{num(middle - half(mm))} {num(y)}H{num(right)}'
            f'L{num(_MARGIN + _TUB + 10)} {num(label)}"/>'
            f'<text class="tub-words" x="{num(_MARGIN + _TUB + 14)}" y="{num(label + 4)}">{esc(said)}</text>'
        )
    return drawing(_WIDTH, height, "".join(body), words=words, kind="tub tub-side")


def top_view(room: Disc | Rectangle, spots: Sequence[Spot], *, words: str) -> str:
    """Where standing pieces find room on the bottom."""
    long, deep = (room.length_mm, room.width_mm) if isinstance(room, Rectangle) else (room.across_mm,) * 2
    scale = 142.0 / max(long, deep)
    width, height = long * scale + 8, deep * scale + 8
    x, y = width / 2, height / 2
    if isinstance(room, Disc):
        wall = f'<circle class="tub-wall" cx="{num(x)}" cy="{num(y)}" r="{num(long * scale / 2)}"/>'
    else:
        wall = (
            f'<rect class="tub-wall" x="4" y="4" width="{num(long * scale)}" height="{num(deep * scale)}"/>'
        )
    body = [wall] + [
        f'<circle class="tub-piece" cx="{num(x + s.x * scale)}" cy="{num(y + s.y * scale)}" '
        f'r="{num(s.width * scale / 2)}"/>'
        for s in spots
    ]
    return drawing(width, height, "".join(body), words=words, kind="tub tub-top")


def _apart(heights: Sequence[float], gap: float = 17.0) -> list[float]:
    """Label heights at least `gap` apart, each as near its line as that allows; the lowest stays."""
    order = sorted(range(len(heights)), key=lambda i: -heights[i])
    placed = list(heights)
    for before, here in zip(order, order[1:], strict=False):
        placed[here] = min(placed[here], placed[before] - gap)
    return placed


_HEIGHT = 190.0
_LEFT, _RIGHT, _TOP, _FOOT = 46.0, 10.0, 12.0, 28.0


def plot_of(soak: Soak) -> SafeString:
    """SVG on a logarithmic scale, for salt falls by shares; empty with fewer than two readings."""
    rows = [(r.at, float(r.value), r.changed_water) for r in soak.readings.all() if r.value is not None]
    if len(rows) < 2:
        return SafeString("")
    tap = float(soak.tap) if soak.tap is not None else None
    values = [max(1.0, value) for _, value, _ in rows] + ([max(1.0, tap)] if tap is not None else [])
    low, high = math.floor(math.log10(min(values)) * 2) / 2, math.ceil(math.log10(max(values)) * 2) / 2
    high = max(high, low + 0.5)
    begin, end = rows[0][0], rows[-1][0]
    span = max(1.0, (end - begin).total_seconds())

    def x(at: datetime) -> float:
        share: float = (at - begin).total_seconds() / span
        return _LEFT + (_WIDTH - _LEFT - _RIGHT) * share

    def y(value: float) -> float:
        share = (math.log10(max(1.0, value)) - low) / (high - low)
        return _HEIGHT - _FOOT - (_HEIGHT - _FOOT - _TOP) * share

    foot = _HEIGHT - _FOOT
    body = [text(_LEFT - 6, _TOP + 4, f"{10**high:,.0f}", "plot-words", 10, anchor="end")]
    body.append(text(_LEFT - 6, _HEIGHT - _FOOT, f"{10**low:,.0f}", "plot-words", 10, anchor="end"))
    body.append(
        f'<path class="plot-frame" d="M{num(_LEFT)} {num(_TOP)}V{num(foot)}H{num(_WIDTH - _RIGHT)}"/>'
    )
    if tap is not None:
        body.append(f'<path class="plot-tap" d="M{num(_LEFT)} {num(y(tap))}H{num(_WIDTH - _RIGHT)}"/>')
        body.append(text(_LEFT + 4, y(tap) - 4, f"tap {tap:g}", "plot-words", 10, anchor="start"))
    points = " ".join(f"{num(x(at))},{num(y(value))}" for at, value, _ in rows)
    body.append(f'<polyline class="plot-line" points="{points}"/>')
    for at, value, changed in rows:
        kind = "plot-dot changed" if changed else "plot-dot"
        body.append(
            f'<circle class="{kind}" cx="{num(x(at))}" cy="{num(y(value))}" r="{4 if changed else 3}"/>'
        )
    for at, anchor in ((begin, "start"), (end, "end")):
        day = timezone.localtime(at)
        body.append(text(x(at), _HEIGHT - 10, f"{day.day} {day:%b}", "plot-words", 10, anchor=anchor))
    words = f"{len(rows)} readings, from {rows[0][1]:g} down to {rows[-1][1]:g} {soak.get_unit_display()}"
    return mark_safe(drawing(_WIDTH, _HEIGHT, "".join(body), words=words, kind="plot"))
