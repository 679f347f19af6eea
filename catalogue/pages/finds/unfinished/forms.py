"""The few things asked of a find in the work queue; everything else is on its full form."""

from typing import Any

from django import forms

from catalogue.common.forms import HouseForm
from catalogue.common.forms.fields import RecoveredField
from catalogue.common.limits import NAME_LENGTH, some_letter
from catalogue.common.words import GAP_WORDS
from catalogue.pages.parts.suggested_input import suggested
from catalogue.photos.queries import UNDESCRIBED
from catalogue.shelves.models import Place
from catalogue.sites.models import Site
from catalogue.specimens.models import MarkReading, Specimen

# Columns of the find that are called otherwise on the form.
COLUMN_OF_FIELD = {"recovered": "recovered_edtf"}


class NextForm(HouseForm):
    """Starts from what is known; only what is changed is written."""

    use_required_attribute = False

    what = forms.CharField(label="What it is", max_length=NAME_LENGTH, widget=suggested("what"))
    kind = forms.ChoiceField(
        label="Kind of vessel", required=False, choices=[("", "not said"), *Specimen.Kind.choices]
    )
    colour = forms.ChoiceField(required=False, choices=[("", "not said"), *Specimen.Colour.choices])
    letters = forms.CharField(
        label="Letters of the maker's mark",
        required=False,
        max_length=MarkReading._meta.get_field("letters").max_length,
        widget=forms.TextInput(
            attrs={"autocapitalize": "characters", "autocomplete": "off", "spellcheck": "false"}
        ),
        help_text="On the base, mostly. A ? for each that can't be read.",
    )
    right = forms.CharField(
        label="Right of them",
        required=False,
        max_length=MarkReading._meta.get_field("right").max_length,
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
        help_text="A dash where nothing stands there.",
    )
    town = forms.CharField(
        label="Town named on it",
        required=False,
        max_length=NAME_LENGTH,
        widget=suggested("town"),
        validators=[some_letter],
    )
    place = forms.ModelChoiceField(
        Place.objects.only("path", "name"),
        label="Where it stands",
        required=False,
        empty_label="no place yet",
    )
    site = forms.ModelChoiceField(
        Site.objects.only("name"), label="Site, if known", required=False, empty_label=GAP_WORDS
    )
    recovered = RecoveredField(
        label="Came up about", required=False, max_length=40, help_text="A year, about 1995, the 1990s."
    )
    notes = forms.CharField(
        label="What else you see",
        required=False,
        max_length=Specimen._meta.get_field("notes").max_length,
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def __init__(self, data: Any = None, *, find: Specimen) -> None:
        super().__init__(data, initial=_initial(find))
        self.find = find
        if find.dive_id:
            # Its dive says where and when already.
            del self.fields["site"], self.fields["recovered"]
        if any(find.readings.all()):
            # A mark on record is corrected on the full form.
            del self.fields["letters"], self.fields["right"]

    @property
    def shows_record(self) -> bool:
        return True

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        typed = " ".join(self.data.get(name, "").strip() for name in ("letters", "right")).strip()
        if typed and "letters" not in self.fields:
            stored = ", ".join(map(str, self.find.readings.all()))
            raise forms.ValidationError(
                f"Another page wrote down a mark meanwhile: {stored}. What you typed is “{typed[:60]}”: "
                "correct the mark on the full form, or save the rest from here."
            )
        if data.get("right") and not data.get("letters") and "letters" not in self.errors:
            self.add_error("letters", "Which letters does it stand beside? Write ? where they can't be read.")
        return data

    def changes(self) -> dict[str, Any]:
        """Column of the find -> what a valid form changed it to."""
        changed = [name for name in self.changed_data if name not in ("letters", "right")]
        return {COLUMN_OF_FIELD.get(name, name): self.cleaned_data[name] for name in changed}

    def reading(self) -> MarkReading | None:
        """The mark as typed, or None."""
        data = self.cleaned_data
        if not data.get("letters"):
            return None
        right = {"": None, "-": ""}.get(data["right"], data["right"])
        return MarkReading(letters=data["letters"], right=right)


def _initial(find: Specimen) -> dict[str, Any]:
    return {
        "what": "" if find.what == UNDESCRIBED else find.what,
        "kind": find.kind,
        "colour": find.colour,
        "notes": find.notes,
        "town": str(find.town or ""),
        "place": find.place_id,
        "site": find.site_id,
        "recovered": find.came_up_words,
    }
