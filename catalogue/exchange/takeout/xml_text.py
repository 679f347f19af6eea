"""XML written as text, element by element: whatever is not markup already is escaped, once."""

from collections.abc import Mapping
from xml.sax.saxutils import escape, quoteattr

from .xlsx_file import NOT_IN_XML

XML_DECLARATION = '<?xml version="1.0" encoding="UTF-8"?>\n'


class Markup(str):
    """Text that is XML already."""

    __slots__ = ()


def element(name: str, *inside: str, attributes: Mapping[str, str] | None = None) -> Markup:
    """One element; plain text inside it is escaped, what XML can't hold is left out."""
    said = "".join(f" {key}={quoteattr(_possible(value))}" for key, value in (attributes or {}).items())
    held = "".join(part if isinstance(part, Markup) else escape(_possible(part)) for part in inside)
    return Markup(f"<{name}{said}>{held}</{name}>")


def element_if(name: str, *inside: str) -> Markup:
    """The same, nothing at all where there is nothing to say."""
    return element(name, *inside) if any(inside) else Markup("")


def _possible(text: str) -> str:
    return NOT_IN_XML.sub("", text)
