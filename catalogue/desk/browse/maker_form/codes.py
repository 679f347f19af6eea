"""What the characters beside a maker's mark mean."""

from django import forms
from django.forms import inlineformset_factory

import dating
from catalogue.specimens.code_words import KINDS
from catalogue.specimens.models import Maker, OwnCode
from catalogue.specimens.tables import code_row

from .maker import years_in_order
from .rows import Rows

MOST = 20
# Any of these makes a row a scheme.
TOLD = ("kind", "valid_from", "valid_to", "contents", "bottler_name", "table", "source", "note")
TABLED = {OwnCode.Kind.LETTER_TABLE, OwnCode.Kind.DOT_TABLE}


class CodeForm(forms.ModelForm):
    """One scheme; an untouched one is none."""

    use_required_attribute = False
    kind = forms.ChoiceField(
        label="What stands there",
        choices=[(each.kind, each.name) for each in KINDS],
        widget=forms.RadioSelect,
    )
    bottler_name = forms.CharField(
        label="Only for one bottler",
        required=False,
        max_length=200,
        widget=forms.TextInput(attrs={"list": "bottlers", "autocomplete": "off"}),
        help_text="Leave empty where it holds for all.",
    )

    class Meta:
        model = OwnCode
        fields = ["kind", "position", "valid_from", "valid_to", "contents", "table", "source", "note"]
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

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["position"].required = False
        if self.instance.bottler_id:
            self.initial["bottler_name"] = self.instance.bottler.name

    def has_changed(self) -> bool:
        """A new row that says nothing but where is no scheme."""
        if self.instance.pk:
            return super().has_changed()
        return any(str(self[name].value() or "").strip() for name in TOLD)

    def kinds(self) -> list[tuple]:
        """Each kind's button with its explanation."""
        return list(zip(self["kind"], KINDS, strict=True))

    def clean_position(self) -> str:
        return self.cleaned_data["position"] or OwnCode.Position.ANY

    def clean(self) -> dict:
        data = super().clean()
        years_in_order(self, data, "valid_from", "valid_to")
        if data.get("kind") in TABLED and "table" in data:
            problem = table_problem(data["kind"], data["table"])
            if problem:
                self.add_error("table", problem)
        return data


def table_problem(kind: str, table: str) -> str:
    """What keeps a list of signs from being read; "" where it reads well."""
    if not table.strip():
        return "Write the list, such as A=1921; B=1922."
    row = code_row(OwnCode(kind=kind, table=table), ())
    try:
        dating.reference().with_own(date_codes=[row | {"id": "own-code-new"}])
    except dating.ReferenceError as error:
        return f"This list can't be read: {error.message}. Write it like A=1921; B=1922; C=1923-1925."
    return ""


CodeForms = inlineformset_factory(
    Maker,
    OwnCode,
    form=CodeForm,
    formset=Rows,
    extra=1,
    max_num=MOST,
    validate_max=True,
    absolute_max=2 * MOST,
)
