"""The few things every drawing needs: escaping, short numbers, a named outer element."""

import hashlib
import re
from xml.sax.saxutils import escape

# What XML can't hold at all: control signs, lone halves of pairs, the two non-characters.
_NOT_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


def esc(text: object) -> str:
    """Text made safe for an element or an attribute in double quotes."""
    return escape(_NOT_XML.sub("\ufffd", str(text)), {'"': "&quot;"})


def num(value: float) -> str:
    """A coordinate with at most two decimals, nothing superfluous."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def key(*parts: object) -> str:
    """A name for a gradient or path within a page: the same content always has the same one."""
    return "d" + hashlib.sha256(repr(parts).encode("utf-8", "replace")).hexdigest()[:10]


def drawing(
    width: float, height: float, body: str, *, words: str, kind: str, left: float = 0, top: float = 0
) -> str:
    """The outer element. ``words`` is what a screen reader says; empty means that words stand beside it."""
    named = f'role="img"><title>{esc(words)}</title>' if words else 'aria-hidden="true">'
    box = " ".join(map(num, (left, top, width, height)))
    return f'<svg class="{kind}" viewBox="{box}" {named}{body}</svg>'


def text(x: float, y: float, words: object, kind: str, size: float, *, anchor: str = "middle") -> str:
    """One line of text; ``size`` in the drawing's units, so that it scales with it."""
    return (
        f'<text class="{kind}" x="{num(x)}" y="{num(y)}" font-size="{num(size)}" '
        f'text-anchor="{anchor}">{esc(words)}</text>'
    )


def path(d: str, kind: str, extra: str = "") -> str:
    """A path with its class."""
    return f'<path class="{kind}" d="{d}"{" " + extra if extra else ""}/>'
