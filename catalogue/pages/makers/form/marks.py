"""The marks of a maker: letters, a frame tapped from drawn shapes, a symbol, years."""

import re
from typing import Any

from django import forms
from django.forms import inlineformset_factory

from catalogue.common.drawings.mark_shapes import FRAMES, SYMBOLS
from catalogue.common.forms.base import RecordForm
from catalogue.specimens.models import Maker, OwnMark
from catalogue.specimens.reading.form import NO_HELP_TYPING
from catalogue.specimens.reading.value import Choices, frame_choice, symbol_choice
from catalogue.specimens.year_words import span_words
from dating.spoken import ARRANGEMENT_WORDS

from .maker import years_in_order
from .rows import Rows

MOST_MARKS = 20
# Any of these makes a row a mark; the others have something to begin with.
MARK_TOLD = ("letters", "symbol", "from_year", "to_year", "text", "found_on", "source", "note")


def frame_choices() -> Choices:
    """Every frame that is drawn, no frame first."""
    return [frame_choice(frame) for frame in FRAMES]


def symbol_choices() -> Choices:
    """Every symbol that is drawn, no symbol first."""
    return [("", "no symbol"), *map(symbol_choice, sorted(SYMBOLS))]


class MarkForm(RecordForm):
    """One mark; an untouched one is none."""

    use_required_attribute = False
    frame = forms.ChoiceField(
        label="Frame", choices=frame_choices, widget=forms.RadioSelect, initial="none", required=False
    )
    symbol = forms.ChoiceField(
        label="Symbol", choices=symbol_choices, widget=forms.RadioSelect, required=False
    )
    arrangement = forms.ChoiceField(
        label="How the letters stand",
        choices=list(ARRANGEMENT_WORDS.items()),
        initial="plain",
        required=False,
    )

    class Meta:
        model = OwnMark
        fields = [
            "letters", "frame", "symbol", "arrangement", "from_year", "from_circa", "to_year", "to_circa",
            "window_of", "text", "found_on", "source", "note",
        ]  # fmt: skip
        labels = {
            "letters": "Letters of the mark",
            "from_circa": "about",
            "to_circa": "about",
            "window_of": "These years are",
            "text": "As it stands there",
            "found_on": "Seen on",
            "source": "Where you know it from",
        }
        help_texts = {"letters": "As read, such as TH or T&H. Leave empty for a symbol alone."}
        widgets = {
            "letters": forms.TextInput(attrs=NO_HELP_TYPING),
            "note": forms.Textarea(attrs={"rows": 2}),
        }

    def clean_letters(self) -> str:
        return " ".join(self.cleaned_data["letters"].upper().split())

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["window_of"].required = False

    def has_changed(self) -> bool:
        """A new row that only holds what it began with is no mark, also where a part of it was not sent."""
        if self.instance.pk:
            return super().has_changed()
        if self["frame"].value() not in (None, "", "none"):
            return True
        return any(str(self[name].value() or "").strip() for name in MARK_TOLD)

    def in_short(self) -> str:
        """The mark and its years, for the line that it folds to; empty for a new one."""
        known = self.instance
        if not known.pk:
            return ""
        years = span_words(
            known.from_year, known.to_year, about_first=known.from_circa, about_last=known.to_circa
        )
        return f"{known}, {years}"

    def clean_window_of(self) -> str:
        return self.cleaned_data["window_of"] or OwnMark.WindowOf.MARK

    def clean_frame(self) -> str:
        return self.cleaned_data["frame"] or "none"

    def clean_arrangement(self) -> str:
        return self.cleaned_data["arrangement"] or "plain"

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        letters = typed = data.get("letters", "")
        if "&" in letters:
            # the tables hold letters without signs; how they stand says the rest
            data["text"] = data.get("text") or letters
            data["letters"] = letters = re.sub(r"\s*&\s*", "", letters)
            if data.get("arrangement") == "plain":
                data["arrangement"] = "with-ampersand"
        if "letters" in data and typed and not any(c.isalnum() for c in letters):
            self.add_error(
                "letters", "Give at least one letter or figure, or leave this empty and choose a symbol."
            )
        elif "letters" in data and not letters and not data.get("symbol"):
            self.add_error("letters", "Give the letters of the mark, or choose its symbol below.")
        years_in_order(self, data, "from_year", "to_year")
        return data


MarkForms = inlineformset_factory(
    Maker,
    OwnMark,
    form=MarkForm,
    formset=Rows,
    extra=1,
    max_num=MOST_MARKS,
    validate_max=True,
    absolute_max=2 * MOST_MARKS,
)
