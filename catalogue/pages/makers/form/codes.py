"""What the characters beside a maker's mark mean."""

from typing import Any

from django import forms
from django.forms import inlineformset_factory

import dating
from catalogue.common.forms.base import RecordForm
from catalogue.pages.parts.choices import regions
from catalogue.specimens.code_words import CODE_KIND_WORDS
from catalogue.specimens.models import Maker, OwnCode
from catalogue.specimens.tables import code_row
from catalogue.specimens.year_words import span_words

from .maker import years_in_order
from .only_for import NAMED, name_field
from .rows import Rows

MOST_CODES = 20
# Any of these makes a row a scheme.
CODE_TOLD = (
    *("kind", "valid_from", "valid_to", "table", "source", "note"),
    *("contents", "region", "bottler_name", "product_name", "works_name"),
)
# What a list of each kind looks like; the years are made up to show the pattern.
TABLE_EXAMPLES = {
    OwnCode.Kind.LETTER_TABLE: "A=1921; B=1922; C=1923-1925",
    OwnCode.Kind.DOT_TABLE: ".=192X; ..=193X; -=194X",
    OwnCode.Kind.WORKS_TABLE: "3=Quay works,1921-1935; 4=Hill works,1936-1950",
}


class CodeForm(RecordForm):
    """One scheme; an untouched one is none."""

    use_required_attribute = False
    kind = forms.ChoiceField(
        label="What stands there",
        choices=[(each.kind, each.name) for each in CODE_KIND_WORDS],
        widget=forms.RadioSelect,
    )
    bottler_name = name_field("Only for one bottler", "bottlers", "Leave empty where it holds for all.")
    product_name = name_field("Only for one product", "products")
    works_name = name_field("Only from one works", "works-names", "One of the works named further down.")
    region = forms.ChoiceField(label="Only for bottles of", required=False, choices=regions)
    for_marks = forms.MultipleChoiceField(
        label="Only with these marks",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="None ticked: it holds with every mark of this maker.",
    )

    class Meta:
        model = OwnCode
        fields = [
            "kind",
            "position",
            "valid_from",
            "valid_to",
            "contents",
            "region",
            "table",
            "source",
            "note",
        ]
        labels = {
            "position": "Where",
            "valid_from": "Used from",
            "valid_to": "Used to",
            "contents": "Only for bottles that held",
            "table": "The list",
            "source": "Where you know it from",
        }
        widgets = {
            "table": forms.Textarea(attrs={"rows": 2}),
            "note": forms.Textarea(attrs={"rows": 2}),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["position"].required = False
        for name in NAMED:
            bound_to = getattr(self.instance, name) if getattr(self.instance, f"{name}_id") else None
            self.initial[f"{name}_name"] = bound_to.name if bound_to else ""

    def has_changed(self) -> bool:
        """A new row that says nothing but where is no scheme."""
        if self.instance.pk:
            return super().has_changed()
        return any(str(self[name].value() or "").strip() for name in CODE_TOLD)

    def in_short(self) -> str:
        """The scheme, its works and its years, for the line that it folds to; empty for a new one."""
        known = self.instance
        if not known.pk:
            return ""
        only = [str(getattr(known, name)) for name in NAMED if getattr(known, f"{name}_id")]
        return ", ".join([str(known), *only, span_words(known.valid_from, known.valid_to)])

    def kinds(self) -> list[tuple[Any, Any]]:
        """Each kind's button with its explanation."""
        return list(zip(self["kind"], CODE_KIND_WORDS, strict=True))

    def clean_position(self) -> str:
        return self.cleaned_data["position"] or OwnCode.Position.ANY

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        years_in_order(self, data, "valid_from", "valid_to")
        if data.get("kind") in TABLE_EXAMPLES and "table" in data:
            problem = table_problem(data["kind"], data["table"])
            if problem:
                self.add_error("table", problem)
        return data


def table_problem(kind: str, table: str) -> str:
    """What keeps a list of signs from being read; "" where it reads well."""
    pattern = TABLE_EXAMPLES[OwnCode.Kind(kind)]
    if not table.strip():
        return f"Write the list, such as {pattern}."
    row = code_row(OwnCode(kind=kind, table=table), ())
    try:
        dating.reference().with_own(date_codes=[row | {"id": "own-code-new"}])
    except dating.ReferenceError as error:
        return f"This list can't be read: {error.message}. Write it like {pattern}."
    return ""


CodeForms = inlineformset_factory(
    Maker,
    OwnCode,
    form=CodeForm,
    formset=Rows,
    extra=1,
    max_num=MOST_CODES,
    validate_max=True,
    absolute_max=2 * MOST_CODES,
)
