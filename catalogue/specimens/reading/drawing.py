"""The drawing of a maker's mark (SVG): frame, symbol and lettering (text layout) on the round of a base."""

from django.utils.safestring import SafeString, mark_safe

from catalogue.common.drawings.mark_shapes import BELOW_THE_LETTERS, frame_path, placed, room_in
from catalogue.common.drawings.svg import drawing, esc, key, num, text
from dating.spoken import with_ampersand

from .value import Reading

SIDE = 160.0
_MIDDLE = SIDE / 2
_HOLDS = frozenset({"star", "diamond", "keystone", "shield", "heart"})  # symbols that can hold a letter
_WIDE_LETTERS, _SLIM_LETTERS = "MWmw&@ÆŒ", "IJiljft1.,:;'|!()[]/-·"
_CAP = 0.68  # height of a capital as a part of its size
UNREAD_LETTER = "?"


def mark_drawing(mark: Reading, *, town: str = "", base: bool = True, words: str | None = None) -> SafeString:
    """Letters in their frame, symbol, and the characters beside them. Safe: every text in it is escaped.

    Characters: None = not looked (nothing drawn), "" = nothing there (a short dash), "?" = there but
    unread (a dotted box); ``?`` among the letters is a dotted box too. ``base`` draws the round of the
    glass about it, ``town`` stands round its edge. ``words`` replaces the spoken description; "" hides the
    drawing from screen readers.
    """
    beside = mark.left is not None or mark.right is not None
    over = mark.above is not None or mark.below is not None
    reach = 31.0 if over else 36.0 if beside or town else 40.0
    body = []
    if base:
        body.append(f'<circle class="mark-base" cx="{num(_MIDDLE)}" cy="{num(_MIDDLE)}" r="77"/>')
        body.append(f'<circle class="mark-heel" cx="{num(_MIDDLE)}" cy="{num(_MIDDLE)}" r="72.5"/>')
    body.append(_middle(mark, reach, 88.0 if beside else 124.0))
    places = {"left": (21, _MIDDLE), "right": (SIDE - 21, _MIDDLE), "above": (_MIDDLE, 27)}
    places["below"] = (_MIDDLE, 126 if town else 133)
    body += [_side(chars, *places[side]) for side, chars in mark.beside.items()]
    if town:
        body.append(on_arc(town.upper(), _MIDDLE, _MIDDLE, 68, 11.5, "mark-town", above=False))
    spoken = f"Mark drawing: {mark.in_words(town)}" if words is None else words
    return mark_safe(drawing(SIDE, SIDE, "".join(body), words=spoken, kind="mark"))


def _middle(mark: Reading, reach: float, free: float) -> str:
    """Frame, symbol and letters; without a frame the letters may be ``free`` units wide."""
    letters, frame, symbol = mark.letters.strip(), mark.frame or "none", mark.symbol or ""
    arrangement = mark.arrangement or "plain"
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


def _side(characters: str, x: float, y: float) -> str:
    """Characters beside the mark."""
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


def advance(char: str) -> float:
    """A letter's width as a part of its size, for a bold serif."""
    if char in _WIDE_LETTERS:
        return 0.95
    if char in _SLIM_LETTERS:
        return 0.42
    if char == " ":
        return 0.3
    return 0.74 if char.isupper() or char == UNREAD_LETTER else 0.58


def width_of(letters: str) -> float:
    """A line's width as a part of its size."""
    return sum(advance(char) for char in letters)


def lines_of(letters: str, arrangement: str) -> list[str]:
    """The lines in which the letters stand."""
    if arrangement == "with-ampersand":
        letters = with_ampersand(letters)
    if "/" in letters:
        return [line.strip() for line in letters.split("/") if line.strip()]
    if arrangement == "stacked":
        if " " in letters:
            return letters.split()
        if len(letters) <= 3:
            return list(letters)
        half = (len(letters) + 1) // 2
        return [letters[:half], letters[half:]]
    if len(letters) > 11:
        return _broken(letters)
    return [letters] if letters else []


def _broken(letters: str) -> list[str]:
    """A long name in two or three lines of about equal length, at spaces where it has any."""
    count = 2 if len(letters) <= 18 else 3
    lines: list[str] = [""]
    words = letters.split() if " " in letters else [letters[i : i + 8] for i in range(0, len(letters), 8)]
    for word in words:
        if lines[-1] and len(lines[-1]) + len(word) > len(letters) / count and len(lines) < count:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}" if lines[-1] and " " in letters else lines[-1] + word
    return lines


def set_letters(
    letters: str, arrangement: str, x: float, y: float, width: float, height: float, largest: float = 38.0
) -> str:
    """The letters as large as the box round (x, y) allows."""
    letters = letters.strip()
    if not letters:
        return ""
    if arrangement in ("monogram", "interlaced") and 2 <= len(letters) <= 4:
        return _woven(letters, x, y, width, height, interlaced=arrangement == "interlaced")
    lines = lines_of(letters, arrangement)
    if not lines:
        return ""  # a stroke alone, half typed
    gap = 0.5 if arrangement == "separate" else 0.04
    widest = max(width_of(line) + gap * max(0, len(line) - 1) for line in lines)
    size = min(largest, width / widest, height / (len(lines) * 0.98))
    kind = "mark-letter mark-script" if arrangement == "script" else "mark-letter"
    pitch = size * 0.98
    first = y - pitch * (len(lines) - 1) / 2 + size * _CAP / 2
    return "".join(_line(line, x, first + place * pitch, size, gap, kind) for place, line in enumerate(lines))


def _line(line: str, x: float, baseline: float, size: float, gap: float, kind: str) -> str:
    """One line about x: in one piece where it can be, letter by letter where some are unread or set apart."""
    if UNREAD_LETTER not in line and gap < 0.1:
        return text(x, baseline, line, kind, size)
    at = x - (width_of(line) + gap * (len(line) - 1)) * size / 2
    parts = []
    for char in line:
        wide = advance(char) * size
        if char == UNREAD_LETTER:
            parts.append(doubt(at + wide * 0.08, baseline, wide * 0.84, size))
        elif char != " ":
            parts.append(text(at + wide / 2, baseline, char, kind, size))
        at += wide + gap * size
    return "".join(parts)


def doubt(x: float, baseline: float, width: float, size: float) -> str:
    """A dotted box for a letter that is there but can't be read."""
    top = baseline - size * _CAP
    return (
        f'<rect class="mark-doubt" x="{num(x)}" y="{num(top)}" width="{num(width)}" '
        f'height="{num(size * _CAP)}" rx="1.5"/>'
    )


def _woven(letters: str, x: float, y: float, width: float, height: float, *, interlaced: bool) -> str:
    """Letters over each other: a monogram steps down, an interlaced one leans from side to side."""
    size = min(38.0, height * 0.95, width / (0.75 + 0.42 * (len(letters) - 1)))
    step = size * (0.44 if interlaced else 0.5)
    parts = []
    for place, char in enumerate(letters):
        offset = place - (len(letters) - 1) / 2
        down = offset * size * (0.12 if interlaced else 0.2)
        at, baseline = x + offset * step, y + down + size * _CAP / 2
        if char == UNREAD_LETTER:
            parts.append(doubt(at - size * 0.3, baseline, size * 0.6, size))
            continue
        drawn = text(at, baseline, char, "mark-letter mark-woven", size)
        if interlaced:
            lean = -9 if place % 2 else 9
            drawn = f'<g transform="rotate({lean} {num(at)} {num(baseline - size / 3)})">{drawn}</g>'
        parts.append(drawn)
    return "".join(parts)


def on_arc(words: str, x: float, y: float, radius: float, size: float, kind: str, *, above: bool) -> str:
    """Words along a circle round (x, y), read from left to right, above or below its middle."""
    reach = radius * 0.94
    longest = reach * 2.55
    size = min(size, longest / max(0.1, width_of(words) + 0.16 * len(words)))
    name = key("arc", words, num(x), num(y), num(radius), above)
    sweep = 1 if above else 0
    d = f"M{num(x - radius)} {num(y)}a{num(radius)} {num(radius)} 0 0 {sweep} {num(2 * radius)} 0"
    return (
        f'<defs><path id="{name}" d="{d}"/></defs><text class="{kind}" font-size="{num(size)}" '
        f'text-anchor="middle"><textPath href="#{name}" startOffset="50%">{esc(words)}</textPath></text>'
    )
