"""How to print a sheet of labels, and one of field tags."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.html import format_html

from catalogue.common.forms import HouseForm
from catalogue.common.models import web_address
from catalogue.labels.code_address import OWN_ADDRESS, CodeChoice
from catalogue.labels.label_text import LABEL_KINDS
from catalogue.labels.sheets import SHEETS
from catalogue.labels.tags import TAG_SHEETS

CODE_CHOICE = '<span class="num">{}</span><br><span class="quiet">{}</span>'


class SheetForm(forms.Form):
    """The sheet in the printer, where to begin on it, and what the codes hold (`codes`: the choices)."""

    sheet = forms.ChoiceField(
        label="Sheet in the printer", choices=lambda: [(s.key, s.name) for s in SHEETS.values()]
    )
    kind = forms.ChoiceField(
        label="What is printed", choices=lambda: [(k.key, k.name) for k in LABEL_KINDS.values()]
    )
    start_at = forms.IntegerField(
        label="Begin at label",
        min_value=1,
        initial=1,
        help_text="A sheet half used: count from the top left, row by row.",
    )
    right_mm = forms.FloatField(
        label="Shift right, mm",
        initial=0,
        min_value=-10,
        max_value=10,
        help_text="If the test page sits off.",
    )
    down_mm = forms.FloatField(label="Shift down, mm", initial=0, min_value=-10, max_value=10)
    outlines = forms.BooleanField(label="Draw the outline of each label", required=False)
    code = forms.ChoiceField(
        label="What the code holds",
        widget=forms.RadioSelect,
        required=False,
    )
    own_address = forms.CharField(
        label="Another address",
        max_length=60,
        required=False,
        validators=[web_address],
        help_text="What stands before /f/2026.14.3, such as http://192.168.1.20:8737.",
    )

    def __init__(self, data: Any = None, *, codes: Sequence[CodeChoice], **given: Any) -> None:
        super().__init__(data, **given)
        code = self.fields["code"]
        assert isinstance(code, forms.ChoiceField)
        code.choices = [
            *((each.value, format_html(CODE_CHOICE, each.text, each.why)) for each in codes),
            (OWN_ADDRESS, "another address"),
        ]

    def clean(self) -> dict[str, Any]:
        """`base` is what stands before the find's path in the code, or says that the number stands alone."""
        given = super().clean() or {}
        typed = str(given.get("own_address", "")).rstrip("/")
        if given.get("code") == OWN_ADDRESS and not typed and "own_address" not in self.errors:
            self.add_error("own_address", "Type the address, or choose one of those above.")
        given["base"] = typed if given.get("code") == OWN_ADDRESS else given.get("code", "")
        return given


class TagForm(HouseForm):
    """How many tags, and on what paper."""

    letters = forms.RegexField(
        "^[A-Za-z]{1,3}$",
        label="Letters before the number",
        initial="T",
        error_messages={"invalid": "One to three letters, A to Z."},
    )
    sheets = forms.IntegerField(label="Sheets of ten", min_value=1, max_value=50, initial=1)
    page = forms.ChoiceField(label="Paper", choices=[(key, key) for key in TAG_SHEETS])

    def clean_letters(self) -> str:
        letters: str = self.cleaned_data["letters"]
        return letters.upper()
