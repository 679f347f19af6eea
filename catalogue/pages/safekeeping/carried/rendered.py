"""Pages rendered as a visitor gets them, with relative links, and the styles and scripts they ask for."""

import re
from collections.abc import Mapping
from typing import Any

from django.http import HttpRequest
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.utils.safestring import SafeString, mark_safe

from catalogue.exchange.public_pages.assets import asked_by_sheet, carried_assets
from catalogue.exchange.public_pages.target import WrittenPages

# Stands in a part that several pages hold for the way from each to the folder's top. No text has this sign.
MARK_UP = "\ufdd0"
STATIC_FOLDER = "static/"
# Whose styles, scripts, faces and icons are carried along.
CARRIED_TEMPLATES = ("pages/safekeeping/carried", "pages/exhibit/carried.html")
_LEADS_OUT = re.compile(r"""\b(?:href|src|srcset|action)="(?:/|[a-z]+:)[^"]*""", re.IGNORECASE)


def ready_assets() -> dict[str, bytes]:
    """Every style, script, face and icon that carried pages may ask for. Raises WorkRefused."""
    return carried_assets(CARRIED_TEMPLATES)


class LeadsOut(Exception):
    """A page holds an address outside of its folder: a mistake of ours, so nothing is made."""


class RenderedPages:
    """Renders pages into a folder that is being written; `about` is in the context of each.

    `ready`: the files that they may ask for (`ready_assets`).
    """

    def __init__(self, written: WrittenPages, about: Mapping[str, Any], ready: Mapping[str, bytes]) -> None:
        self.written, self.about, self._ready = written, about, ready
        self.assets: set[str] = set()
        self._static = static("")

    def part(self, template: str, context: Mapping[str, Any]) -> str:
        """A part of pages, `MARK_UP` standing for the way up."""
        return render_to_string(template, {"mark_up": MARK_UP, **context}, _nobody())

    def page(self, name: str, template: str, context: Mapping[str, Any]) -> None:
        """Render one page and write it. Raises OSError, and LeadsOut for an address that isn't relative."""
        up = "../" * name.count("/")
        given = {**self.about, "up": up, "here": name, **context}
        html = render_to_string(template, given, _nobody()).replace(MARK_UP, up)
        html = html.replace(f'="{self._static}', f'="{up}{STATIC_FOLDER}')
        self.assets.update(re.findall(rf'="{re.escape(up + STATIC_FOLDER)}([^"?]+)', html))
        if found := _LEADS_OUT.search(html):
            raise LeadsOut(f"{name}: {found[0]}")
        self.written.write(name, html.encode())

    def write_assets(self) -> None:
        """Write every style, script, face and icon that the pages ask for. Raises OSError."""
        asked = set(self.assets)
        for name in self.assets:
            if name.endswith(".css"):
                asked.update(asked_by_sheet(name))
        for name in sorted(asked):
            self.written.write(f"{STATIC_FOLDER}{name}", self._ready[name])


def _nobody() -> HttpRequest:
    """Who asks for a carried page: a visitor; one request a page, by which terms are told once."""
    return HttpRequest()


def put_together(part: str) -> SafeString:
    """A part that was rendered, and so escaped, before."""
    return mark_safe(part)
