"""Lettering (text layout) of a maker's mark set in a box, in the arrangement they have on the glass."""

from catalogue.common.drawings.svg import esc, key, num, text

_WIDE_LETTERS, _SLIM_LETTERS = "MWmw&@ÆŒ", "IJiljft1.,:;'|!()[]/-·"
_CAP = 0.68  # height of a capital as a part of its size
UNREAD_LETTER = "?"


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


def with_ampersand(letters: str) -> str:
    """The letters with an ampersand where such names have one: before CO or SON, else after the first."""
    if "&" in letters or len(letters) < 2:
        return letters
    for ending in ("CO", "SONS", "SON", "BROS"):
        if letters.upper().endswith(ending) and len(letters) > len(ending):
            return f"{letters[: -len(ending)]} & {letters[-len(ending) :]}"
    return f"{letters[0]}&{letters[1:]}"


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
