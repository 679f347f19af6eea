"""The words that the file is known by, and which of its keys belong where."""

FORMAT = "siltmark-maker"
VERSION = 1

MAKER = {"name": "name", "place": "place", "country": "country", "from": "from_year", "to": "to_year"}
MAKER |= {"source": "source"}
WORKS = {"name": "name", "from": "from_year", "to": "to_year"}
MARK = {
    **{name: name for name in ("letters", "symbol", "frame", "arrangement", "text", "found_on", "note")},
    **{name: name for name in ("from_circa", "to_circa", "window_of")},
    **{"used_from": "from_year", "used_to": "to_year", "locator": "source"},
}
CODE = {
    **{name: name for name in ("kind", "position", "contents", "region", "valid_from", "valid_to")},
    **{"table": "table", "locator": "source", "note": "note"},
}
# Known columns that say nothing here: the maker says them, or only published rows have them.
PASSED_OVER = {
    "marks": {"id", "maker", "place", "country", "source", "basis"},
    "codes": {"id", "mark_ids", "bottler", "product", "works", "example", "source", "basis"},
    "works": {"town"},
}
