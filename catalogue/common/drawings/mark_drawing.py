"""The mark drawing: a maker's mark on the round of a base, built from the words of its row or reading."""

from catalogue.common.drawings.lettering import doubt, on_arc, set_letters
from catalogue.common.drawings.mark_shapes import BELOW_THE_LETTERS, frame_path, placed, room_in
from catalogue.common.drawings.mark_words import mark_words
from catalogue.common.drawings.svg import drawing, num, text

SIDE = 160.0
_MIDDLE = SIDE / 2
_HOLDS = frozenset({"star", "diamond", "keystone", "shield", "heart"})  # symbols that can hold a letter


def mark_drawing(
    letters: str = "",
    *,
    frame: str | None = "none",
    symbol: str | None = "",
    arrangement: str | None = "plain",
    left: str | None = None,
    right: str | None = None,
    above: str | None = None,
    below: str | None = None,
    town: str | None = None,
    base: bool = True,
    words: str | None = None,
) -> str:
    """Letters in their frame, symbol, and the characters beside them.

    Characters: None = not looked (nothing drawn), "" = nothing there (a short dash), "?" = there but
    unread (a dotted box); ``?`` among the letters is a dotted box too. ``base`` draws the round of the
    glass about it. ``words`` replaces the spoken description; "" hides the drawing from screen readers.
    """
    letters, frame, symbol = letters.strip(), frame or "none", symbol or ""
    arrangement = arrangement or "plain"
    beside = left is not None or right is not None
    over = above is not None or below is not None
    reach = 31.0 if over else 36.0 if beside or town else 40.0
    body = []
    if base:
        body.append(f'<circle class="mark-base" cx="{num(_MIDDLE)}" cy="{num(_MIDDLE)}" r="77"/>')
        body.append(f'<circle class="mark-heel" cx="{num(_MIDDLE)}" cy="{num(_MIDDLE)}" r="72.5"/>')
    body.append(_middle(letters, frame, symbol, arrangement, reach, 88.0 if beside else 124.0))
    body.append(_side(left, 21, _MIDDLE))
    body.append(_side(right, SIDE - 21, _MIDDLE))
    body.append(_side(above, _MIDDLE, 27))
    body.append(_side(below, _MIDDLE, 126 if town else 133))
    if town:
        body.append(on_arc(town.upper(), _MIDDLE, _MIDDLE, 68, 11.5, "mark-town", above=False))
    spoken = words
    if spoken is None:
        spoken = "Mark drawing: " + mark_words(
            letters,
            frame=frame,
            symbol=symbol,
            arrangement=arrangement,
            left=left,
            right=right,
            above=above,
            below=below,
            town=town,
        )
    return drawing(SIDE, SIDE, "".join(body), words=spoken, kind="mark")


def _middle(letters: str, frame: str, symbol: str, arrangement: str, reach: float, free: float) -> str:
    """Frame, symbol and letters; without a frame the letters may be ``free`` units wide."""
    room = room_in(frame, reach)
    if frame == "none":
        room = room._replace(width=free)
    y = _MIDDLE + room.down
    framed = frame_path(frame, _MIDDLE, _MIDDLE, reach)
    if symbol and not letters:
        return framed + placed(symbol, _MIDDLE, y, min(room.width, room.height, 2 * reach) * 0.82)
    if symbol in _HOLDS and frame == "other" and len(letters) <= 2:
        held = f'<g class="mark-holding">{placed(symbol, _MIDDLE, _MIDDLE, reach * 2.5)}</g>'
        return held + set_letters(letters, arrangement, _MIDDLE, _MIDDLE, reach, reach * 0.8, 22)
    if not letters:
        return framed
    if not symbol:
        return framed + set_letters(letters, arrangement, _MIDDLE, y, room.width, room.height)
    part = room.height * (0.26 if symbol in BELOW_THE_LETTERS else 0.38)
    size = min(room.width * 0.6, part / (0.45 if symbol in BELOW_THE_LETTERS else 1.0))
    if symbol in BELOW_THE_LETTERS:
        at, middle = y + room.height / 2 - part / 2, y - part / 2
    else:
        at, middle = y - room.height / 2 + part / 2, y + part / 2
    rest = room.height - part - 2
    return (
        framed
        + placed(symbol, _MIDDLE, at, size)
        + set_letters(letters, arrangement, _MIDDLE, middle, room.width, rest)
    )


def _side(characters: str | None, x: float, y: float) -> str:
    """Characters beside the mark."""
    if characters is None:
        return ""
    shown = characters.strip()
    if not shown:
        return f'<path class="mark-nothing" d="M{num(x - 4)} {num(y)}h8"/>'
    size = 19.0 if len(shown) <= 2 else max(8.0, 36.0 / len(shown))
    if set(shown) == {"?"}:
        wide = min(12.0, 26.0 / len(shown))
        start = x - wide * len(shown) / 2
        return "".join(
            doubt(start + place * wide + 0.6, y + 6.5, wide - 1.2, 19) for place in range(len(shown))
        )
    return text(x, y + size * 0.34, shown[:12], "mark-side", size)
