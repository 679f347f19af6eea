"""A vessel drawn from the side with its rings and lines, and from above with the pieces in it. Pure SVG."""

from collections.abc import Sequence

from catalogue.common.drawings.svg import drawing, esc, num

from .vessel_shape import Shape, Spot

_WIDTH, _HEIGHT, _MARGIN = 340.0, 230.0, 14.0
_TUB = 170.0


def side_view(
    shape: Shape, *, rings: Sequence[tuple[float, str]], lines: Sequence[tuple[float, str]], words: str
) -> str:
    """`rings` are marks on the vessel, `lines` what to pour to: (mm above the bottom, words)."""
    scale = min(_TUB / max(shape.top_mm, shape.bottom_mm), (_HEIGHT - 2 * _MARGIN) / shape.height_mm)
    middle, foot = _MARGIN + _TUB / 2, _HEIGHT - _MARGIN
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
        y = num(foot - mm * scale)
        body.append(f'<path class="tub-ring" d="M{num(middle - half(mm))} {y}h{num(half(mm) * 2)}"/>')
    placed = _apart([foot - mm * scale for mm, _ in lines])
    for (mm, said), label in zip(lines, placed, strict=True):
        y, right = foot - mm * scale, middle + half(mm)
        body.append(
            f'<path class="tub-line" d="M{num(middle - half(mm))} {num(y)}H{num(right)}'
            f'L{num(_MARGIN + _TUB + 10)} {num(label)}"/>'
            f'<text class="tub-words" x="{num(_MARGIN + _TUB + 14)}" y="{num(label + 4)}">{esc(said)}</text>'
        )
    return drawing(_WIDTH, _HEIGHT, "".join(body), words=words, kind="tub tub-side")


def top_view(room_mm: float, spots: Sequence[Spot], *, words: str) -> str:
    """Where standing pieces find room on the bottom."""
    size = 150.0
    scale, middle = (size - 8) / room_mm, size / 2
    body = [
        f'<circle class="tub-wall" cx="{num(middle)}" cy="{num(middle)}" r="{num(room_mm * scale / 2)}"/>'
    ]
    body += [
        f'<circle class="tub-piece" cx="{num(middle + s.x * scale)}" cy="{num(middle + s.y * scale)}" '
        f'r="{num(s.width * scale / 2)}"/>'
        for s in spots
    ]
    return drawing(size, size, "".join(body), words=words, kind="tub tub-top")


def _apart(heights: Sequence[float], gap: float = 17.0) -> list[float]:
    """Label heights at least `gap` apart, each as near its line as that allows; the lowest stays."""
    order = sorted(range(len(heights)), key=lambda i: -heights[i])
    placed = list(heights)
    for before, here in zip(order, order[1:], strict=False):
        placed[here] = min(placed[here], placed[before] - gap)
    return placed
