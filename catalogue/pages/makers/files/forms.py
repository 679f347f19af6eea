"""The file that is brought, and what to do where its maker is there already."""

from typing import Any

from django import forms
from django.http import HttpRequest

from catalogue.common.forms import HouseForm
from catalogue.common.forms.fields import choice_field
from catalogue.specimens.maker_file import MAKER_FILE_BYTES
from catalogue.specimens.models import Maker
from catalogue.specimens.services.makers import own_maker_named

TOO_LARGE = (
    f"This file is larger than {MAKER_FILE_BYTES // 1000} kB, which no maker needs. Nothing was taken in."
)


class BroughtForm(HouseForm):
    """A file chosen, or the text of one that was shown before."""

    file = forms.FileField(
        label="The file", required=False, widget=forms.FileInput(attrs={"accept": ".json,application/json"})
    )
    text = forms.CharField(required=False, widget=forms.HiddenInput, strip=False)

    def __init__(self, request: HttpRequest) -> None:
        super().__init__(request.POST, request.FILES)
        self.skipped = bool(getattr(request, "too_large", []))

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        brought = data.get("file")
        if self.skipped or (brought and brought.size > MAKER_FILE_BYTES):
            self.errors.pop("file", None)
            self.add_error("file", TOO_LARGE)
        elif not brought and not data.get("text") and "file" not in self.errors:
            self.add_error("file", "Choose the file first.")
        return data

    def content(self) -> bytes:
        """What the file holds."""
        brought = self.cleaned_data.get("file")
        content: bytes = brought.read() if brought else self.cleaned_data["text"].encode()
        return content


class SameNameForm(HouseForm):
    """A maker of that name is there: keep both, or put the file in its place."""

    INSTEAD, BESIDE = "instead", "beside"

    what = forms.ChoiceField(label="What shall be done?", widget=forms.RadioSelect)
    name = forms.CharField(
        label="Its name here", required=False, max_length=200, help_text="Such as the name with its town."
    )

    def __init__(self, same: Maker, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choice_field(self, "what").choices = [
            (self.INSTEAD, f"Put it in place of the marks, codes and works that {same.name} has now"),
            (self.BESIDE, "Keep both, this one under another name"),
        ]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("what") == self.BESIDE:
            name = " ".join(data.get("name", "").split())
            if not name or own_maker_named(name):
                self.add_error("name", "Give a name that none of your makers has yet.")
            data["name"] = name
        return data
