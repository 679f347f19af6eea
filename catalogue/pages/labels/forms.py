"""How to print labels, what an own sheet measures, and how many field tags."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.html import format_html

from catalogue.common.forms import HouseForm, HouseModelForm
from catalogue.common.forms.plain_errors import PlainErrors
from catalogue.common.models import web_address
from catalogue.labels.code_address import OWN_ADDRESS, CodeChoice
from catalogue.labels.label_text import LABEL_KINDS, LabelKind
from catalogue.labels.models import OWN_PAGE, OwnSheet
from catalogue.labels.sheet_memory import sheet_groups
from catalogue.labels.sheets import SheetError
from catalogue.labels.tags import TAG_SHEETS
from catalogue.labels.texts_of import GROUPINGS
from catalogue.shelves.models import Place

CODE_CHOICE = '<span class="num">{}</span><br><span class="quiet">{}</span>'


class SheetForm(PlainErrors, forms.Form):
    """The kind of label and its parts, the sheet in the printer, where to begin on it, what the codes hold.

    `codes` are the choices of the latter, `about` the kind whose parts are offered.
    """

    kind = forms.ChoiceField(
        label="Kind of label", choices=lambda: [(k.key, k.name) for k in LABEL_KINDS.values()]
    )
    parts = forms.MultipleChoiceField(
        label="What stands on it", widget=forms.CheckboxSelectMultiple, required=False
    )
    group_by = forms.ChoiceField(
        label="A heading for each",
        choices=lambda: [(g.key, g.name) for g in GROUPINGS.values()],
        required=False,
    )
    heading = forms.CharField(label="Heading of the list", max_length=200, required=False)
    own_label = forms.ModelChoiceField(
        label="Place", queryset=Place.objects.none(), required=False, empty_label="Choose the place"
    )
    inside = forms.BooleanField(label="And each place inside it", required=False)
    sheet = forms.ChoiceField(label="Sheet in the printer")
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

    def __init__(
        self, data: Any = None, *, codes: Sequence[CodeChoice], about: LabelKind, **given: Any
    ) -> None:
        super().__init__(data, **given)
        self.about = about
        code, sheet, parts, places = (self.fields[name] for name in ("code", "sheet", "parts", "own_label"))
        assert isinstance(code, forms.ChoiceField) and isinstance(sheet, forms.ChoiceField)
        assert isinstance(parts, forms.ChoiceField) and isinstance(places, forms.ModelChoiceField)
        code.choices = [
            *((each.value, format_html(CODE_CHOICE, each.text, each.why)) for each in codes),
            (OWN_ADDRESS, "another address"),
        ]
        sheet.choices = sheet_groups()
        parts.choices = [(part, about.name_of(part)) for part in about.may_have]
        if about.about == "place":
            places.queryset = Place.objects.order_by("path")

    def clean(self) -> dict[str, Any]:
        """`base` is what stands before the find's path in the code, or says that the number stands alone."""
        given = super().clean() or {}
        typed = str(given.get("own_address", "")).rstrip("/")
        if given.get("code") == OWN_ADDRESS and not typed and "own_address" not in self.errors:
            self.add_error("own_address", "Type the address, or choose one of those above.")
        given["base"] = typed if given.get("code") == OWN_ADDRESS else given.get("code", "")
        if not given.get("parts") and "parts" not in self.errors:
            self.add_error("parts", "Tick at least one thing that stands on the label.")
        if self.about.about == "place" and not given.get("own_label") and "own_label" not in self.errors:
            self.add_error("own_label", "Choose the place whose label is printed.")
        return given


class OwnSheetForm(HouseModelForm):
    """A sheet by its measures. What can't be is said at the measure that is at fault, in one sentence."""

    class Meta:
        model = OwnSheet
        fields = (
            "name",
            "roll",
            "page",
            "page_width_mm",
            "page_height_mm",
            "columns",
            "rows",
            "label_width_mm",
            "label_height_mm",
            "left_mm",
            "top_mm",
            "pitch_x_mm",
            "pitch_y_mm",
        )

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if self.errors:
            return given
        if given["page"] == OWN_PAGE and not given["roll"]:
            for name in ("page_width_mm", "page_height_mm"):
                if not given.get(name):
                    self.add_error(name, "Say how large the paper is.")
            if self.errors:
                return given
        try:
            OwnSheet(**{name: given[name] for name in self.Meta.fields}).as_sheet()
        except SheetError as why:
            field = why.field if why.field in self.fields else "label_width_mm"
            self.add_error(field, f"{why.why[:1].upper()}{why.why[1:]}.")
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
