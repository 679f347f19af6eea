"""Forms of a page as a browser would send them: every field with the value that it was shown with."""

from html.parser import HTMLParser
from typing import Any

from django.http import HttpResponse
from django.test import Client

Values = dict[str, list[str]]


class _Forms(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[tuple[dict[str, str], Values]] = []
        self.fields: Values | None = None
        self.select = self.text = ""
        self.chosen: list[str] = []
        self.first: str | None = None
        self.several = False
        self.typed: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.fields = {}
            self.forms.append((said, self.fields))
        elif self.fields is None:
            return
        elif tag == "input":
            kind, name = said.get("type", "text"), said.get("name", "")
            on = kind not in {"checkbox", "radio"} or "checked" in said
            if name and on and kind not in {"submit", "file", "button"}:
                value = said.get("value", "on" if kind == "checkbox" else "")
                self.fields.setdefault(name, []).append(value)
        elif tag == "select":
            self.select, self.chosen, self.first = said.get("name", ""), [], None
            self.several = "multiple" in said
        elif tag == "option" and self.select:
            self.first = said.get("value", "") if self.first is None else self.first
            if "selected" in said:
                self.chosen.append(said.get("value", ""))
        elif tag == "textarea":
            self.text, self.typed = said.get("name", ""), []

    def handle_data(self, data: str) -> None:
        if self.text:
            self.typed.append(data)

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self.fields = None
        elif self.fields is None:
            return
        elif tag == "select" and self.select:
            first = [] if self.first is None or self.several else [self.first]
            self.fields[self.select] = self.chosen or first
            self.select = ""
        elif tag == "textarea" and self.text:
            # A browser drops the line end that stands right behind the tag.
            self.fields[self.text] = ["".join(self.typed).removeprefix("\n")]
            self.text = ""


def forms_in(html: str) -> list[tuple[dict[str, str], Values]]:
    """The attributes and the values of every form that is posted."""
    parser = _Forms()
    parser.feed(html)
    return [(said, values) for said, values in parser.forms if said.get("method", "").lower() == "post"]


def opened(client: Client, page: str, action: str = "", **typed: Any) -> tuple[str, dict[str, Any]]:
    """The address and the values of the form on a page whose action ends so, filled in as typed.

    A dash can't stand in a keyword: give `typed` by `**{"marks-0-letters": "TW"}`.
    """
    answer = client.get(page)
    assert answer.status_code == 200, (page, answer.status_code)
    forms = forms_in(answer.content.decode())
    fitting = [form for form in forms if form[0].get("action", "").endswith(action)] if action else forms
    assert fitting, (page, action, [said for said, _ in forms])
    said, values = fitting[0]
    return said.get("action") or page, {**values, **typed}


def post_form(client: Client, page: str, typed: dict[str, Any]) -> HttpResponse:
    """The answer to the form of a page, filled in as typed and sent to the page itself."""
    _, values = opened(client, page, **typed)
    return client.post(page, values)
