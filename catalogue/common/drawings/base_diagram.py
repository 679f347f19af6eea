"""The round of a base with a place for each thing that can be read there, for the form's side."""

from catalogue.common.drawings.frames import frame_path, room_in
from catalogue.common.drawings.letters import set_letters
from catalogue.common.drawings.mark_drawing import SIDE
from catalogue.common.drawings.svg import drawing, num, text

_MIDDLE = SIDE / 2
_PLACES = (
    ("left", 25.0, _MIDDLE),
    ("right", SIDE - 25, _MIDDLE),
    ("above", _MIDDLE, 25.0),
    ("below", _MIDDLE, SIDE - 25),
)


def base_diagram(
    letters: str = "",
    *,
    frame: str | None = "none",
    left: str | None = None,
    right: str | None = None,
    above: str | None = None,
    below: str | None = None,
    words: str = "The base: the mark in the middle, characters left, right, above and below it",
) -> str:
    """What is typed so far stands in its place; a place not looked at is an open box with its name."""
    values = {"left": left, "right": right, "above": above, "below": below}
    body = [
        '<circle class="mark-base" cx="80" cy="80" r="77"/>',
        '<circle class="mark-heel" cx="80" cy="80" r="72.5"/>',
    ]
    if letters.strip() or (frame and frame != "none"):
        room = room_in(frame or "none", 27)
        body.append(frame_path(frame or "none", _MIDDLE, _MIDDLE, 27))
        body.append(set_letters(letters, "plain", _MIDDLE, _MIDDLE + room.down, room.width, room.height, 24))
    else:
        body.append('<rect class="mark-slot" x="50" y="58" width="60" height="44" rx="3"/>')
        body.append(text(_MIDDLE, 84, "mark", "mark-place", 12))
    for name, x, y in _PLACES:
        body.append(_slot(name, values[name], x, y))
    return drawing(SIDE, SIDE, "".join(body), words=words, kind="mark base-diagram")


def _slot(name: str, value: str | None, x: float, y: float) -> str:
    box = f'<rect class="mark-slot" x="{num(x - 15)}" y="{num(y - 12)}" width="30" height="24" rx="3"/>'
    if value is None:
        return box + text(x, y + 3.6, name, "mark-place", 9.5)
    shown = value.strip()[:6] or "–"
    kind = "mark-side" if value.strip() else "mark-place"
    return box + text(x, y + 5.4, shown, kind, 16 if len(shown) <= 2 else 11)
