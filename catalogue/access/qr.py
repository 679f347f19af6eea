"""A link as a QR code on the screen."""

import segno
from django.utils.safestring import SafeString, mark_safe


def on_screen(link: str) -> SafeString:
    """The code as SVG, dark on white in either theme, four light modules around it (ISO/IEC 18004)."""
    code = segno.make(link, error="m", micro=False)
    drawn = code.svg_inline(
        border=4, dark="#000", light="#fff", omitsize=True, svgclass="qr", title="QR code"
    )
    # Nothing in it comes from a person: the link is modules by now.
    return mark_safe(drawn)
