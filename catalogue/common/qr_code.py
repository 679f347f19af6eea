"""A QR code (ISO/IEC 18004): its modules, written by zxing-cpp, and its drawing for the screen."""

import re
from functools import lru_cache

import numpy
import zxingcpp
from django.utils.safestring import SafeString, mark_safe

_DIGITS = re.compile("[0-9]")
_DARK = re.compile(b"\x01+")
Modules = tuple[bytes, ...]
QUIET = 4  # light modules on every side


@lru_cache(maxsize=256)
def modules(text: str) -> Modules:
    """The code's rows of modules (1 = dark) without quiet zone, in its smallest version of level M at least.

    The error correction is as strong as that version allows. Raises ValueError where the text is empty or
    too long.
    """
    if not text:
        raise ValueError("A code needs a text.")
    try:
        return _written(text, _strongest(_DIGITS.sub("0", text)))
    except ValueError as error:
        raise ValueError(f"A code can't hold {len(text)} characters.") from error


@lru_cache(maxsize=256)
def _strongest(text: str) -> str:
    """The highest level that makes the code no larger. Digits are alike to it: asked once for all labels."""
    smallest = len(_written(text, "M"))
    for level in ("H", "Q"):
        try:
            if len(_written(text, level)) == smallest:
                return level
        except ValueError:
            continue
    return "M"


def runs(rows: Modules) -> list[tuple[int, int, int]]:
    """Dark modules joined along each row: (column, row, length)."""
    return [(start, y, end - start) for y, row in enumerate(rows) for start, end in dark_spans(row)]


def dark_spans(row: bytes) -> list[tuple[int, int]]:
    """Where dark modules stand side by side in a row: from which column to before which."""
    return [run.span() for run in _DARK.finditer(row)]


def _written(text: str, level: str) -> Modules:
    code = zxingcpp.create_barcode(text, zxingcpp.BarcodeFormat.QRCode, ec_level=level)
    dark = numpy.asarray(code.to_image(scale=1, add_quiet_zones=False)) == 0
    return tuple(row.tobytes() for row in dark.astype(numpy.uint8))


def on_screen(link: str) -> SafeString:
    """The code as SVG, dark on white in either theme, four light modules around it (ISO/IEC 18004)."""
    rows = modules(link)
    side = len(rows) + 2 * QUIET
    dark = "".join(f"M{x + QUIET} {y + QUIET}h{length}v1h-{length}z" for x, y, length in runs(rows))
    # Nothing in it comes from a person: the link is modules by now.
    return mark_safe(
        f'<svg class="qr" viewBox="0 0 {side} {side}" role="img" aria-label="QR code" '
        f'shape-rendering="crispEdges"><path fill="#fff" d="M0 0h{side}v{side}h-{side}z"/>'
        f'<path fill="#000" d="{dark}"/></svg>'
    )
