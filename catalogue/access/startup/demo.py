"""Fill a throw-away catalogue with invented finds."""

from importlib import import_module, util


def fill() -> str | None:
    """Fill the demo; returns a sentence instead where this copy has no demo finds."""
    if not (util.find_spec("demo_fixtures") and util.find_spec("demo_fixtures.load")):
        return "The invented finds of the demo are not part of this copy; it opens empty."
    import_module("demo_fixtures.load").fill()
    return None
