"""How to print a sheet of labels, and one of field tags."""

from django import forms

from catalogue.common.forms import HouseForm
from catalogue.labels.label_text import LABEL_KINDS
from catalogue.labels.sheets import SHEETS
from catalogue.labels.tags import TAG_SHEETS


class SheetForm(forms.Form):
    """The sheet in the printer and where to begin on it."""

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
