"""Signing in with the owner's password, and setting it."""

from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password

from catalogue.common.forms import HouseForm

LONGEST_PASSWORD = 200


class EnterForm(forms.Form):
    """One field: there is one owner, so there is no name to give."""

    password = forms.CharField(
        label="The owner's password",
        max_length=LONGEST_PASSWORD,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )


class PasswordForm(HouseForm):
    """The owner's new password, twice."""

    password = forms.CharField(
        label="New password",
        max_length=LONGEST_PASSWORD,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text="At least 10 characters, and none of those that many people use.",
    )
    again = forms.CharField(
        label="The same once more",
        max_length=LONGEST_PASSWORD,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    def __init__(self, *args: Any, owner: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.owner = owner

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        validate_password(password, self.owner)
        return password

    def clean(self) -> None:
        first, second = self.cleaned_data.get("password"), self.cleaned_data.get("again")
        if first and second and first != second:
            self.add_error("again", "The two differ. Type the same password twice.")
