"""Countries as typed, against ISO 3166-1 as the package pycountry (Debian's iso-codes) carries it."""

import pycountry
import pytest
from django import forms

from catalogue.specimens.countries import CountryField, country_code

NAMED = {"CA": "Canada", "DE": "germany", "FR": "FRANCE", "NZ": " new  zealand ", "NO": "Norway"}


@pytest.mark.parametrize(("code", "typed"), NAMED.items())
def test_a_country_goes_by_its_name(code, typed):
    assert pycountry.countries.get(alpha_2=code).name.casefold() == " ".join(typed.split()).casefold()
    assert CountryField().clean(typed) == code


@pytest.mark.parametrize(
    ("typed", "kept"),
    [("USA", "US"), ("u.s.", "US"), ("Great Britain", "GB"), ("Scotland", "GB"), ("Holland", "NL")],
)
def test_usual_short_forms_are_known(typed, kept):
    assert pycountry.countries.get(alpha_2=kept)
    assert CountryField().clean(typed) == kept


@pytest.mark.parametrize(("typed", "kept"), [("us", "US"), ("UK", "UK"), ("xk", "XK"), ("", ""), ("  ", "")])
def test_two_letters_stay_as_they_are(typed, kept):
    assert CountryField(required=False).clean(typed) == kept


@pytest.mark.parametrize("typed", ["Nowhereland", "1!", "U", "any land"])
def test_another_word_is_refused_with_what_to_do(typed):
    assert country_code(typed) is None
    with pytest.raises(forms.ValidationError, match="two letters, such as US or GB"):
        CountryField().clean(typed)
