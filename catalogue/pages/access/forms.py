"""Signing in with the owner's password, and setting it."""

from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password

from catalogue.access.passwords import check_password
from catalogue.access.tries import TooManyTries
from catalogue.common.forms import HouseForm
from catalogue.common.forms.plain_errors import PlainErrors

LONGEST_PASSWORD = 200


class EnterForm(PlainErrors, forms.Form):
    """One field: there is one owner, so there is no name to give."""

    password = forms.CharField(
        label="The owner's password",
        max_length=LONGEST_PASSWORD,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )


class PasswordForm(HouseForm):
    """The owner's new password, twice; where there is one already, that one first."""

    present = forms.CharField(
        label="Present password",
        max_length=LONGEST_PASSWORD,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
        help_text="Forgotten? At the catalogue's own computer: manage.py changepassword owner",
    )
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

    def __init__(self, *args: Any, owner: User, address: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.owner, self.address = owner, address
        if not owner.has_usable_password():
            del self.fields["present"]

    def clean_present(self) -> str:
        present: str = self.cleaned_data["present"]
        try:
            known = check_password(present, self.address)
        except TooManyTries as error:
            raise forms.ValidationError(str(error)) from None
        if known is None:
            raise forms.ValidationError("That is not the present password.")
        return present

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        validate_password(password, self.owner)
        return password

    def clean(self) -> None:
        first, second = self.cleaned_data.get("password"), self.cleaned_data.get("again")
        if first and second and first != second:
            self.add_error("again", "The two differ. Type the same password twice.")
