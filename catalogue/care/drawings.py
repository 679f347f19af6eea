"""SVG drawings of the bench: a vessel from the side and from above."""

from collections.abc import Sequence

from catalogue.care.packing import Disc, Rectangle, Spot
from catalogue.care.volume import Shape
from catalogue.common.drawings.svg import drawing, esc, num

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
