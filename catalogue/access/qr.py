"""A link as a QR code on the screen."""

from django.utils.safestring import SafeString, mark_safe

from catalogue.common.qr_code import modules, runs

QUIET = 4


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
