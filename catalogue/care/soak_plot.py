"""The readings of a soak as a line that comes down to the tap's own."""

import math

from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe

from catalogue.common.drawings.svg import drawing, num, text

from .models import Soak

_WIDTH, _HEIGHT = 340.0, 190.0
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

    def x(at) -> float:
        return _LEFT + (_WIDTH - _LEFT - _RIGHT) * (at - begin).total_seconds() / span

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
