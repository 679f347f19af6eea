"""What a form refuses is said as a neighbour would, and nothing typed is cut off without a word."""

import pytest
from django import forms
from django.http import QueryDict

from catalogue.common.forms import HouseForm
from catalogue.common.forms.composite import MaybeBlank, RowSet, row_set
from catalogue.people.models import Person

CHOICES = (("jar", "jar"), ("bottle", "bottle"))


class Asked(HouseForm):
    """One field of each kind that Django checks by a sentence of its own."""

    name = forms.CharField(max_length=5)
    story = forms.CharField(max_length=5, widget=forms.Textarea)
    mm = forms.FloatField(min_value=-10, max_value=10)
    label = forms.IntegerField(min_value=1)
    kind = forms.ChoiceField(choices=CHOICES)
    kinds = forms.MultipleChoiceField(choices=CHOICES)
    person: forms.ModelChoiceField = forms.ModelChoiceField(queryset=Person.objects.none())
    own = forms.IntegerField(min_value=1, error_messages={"min_value": "Begin at the first."})


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("name", "ginger", "6 letters are too many, 5 go in."),
        ("story", "ginger beer", "11 letters are too many, 5 go in."),
        ("name", "a\x00b", "A sign that is no letter is in it. Type it anew."),
        ("mm", "50", "10 is the most that can stand here."),
        ("mm", "-50", "-10 is the least that can stand here."),
        ("label", "0", "1 is the least that can stand here."),
        ("kind", "teapot", "“teapot” is none of the choices. Choose one of the list."),
        ("kinds", "teapot", "“teapot” is none of the choices. Choose one of the list."),
        ("person", "999", "That is not there to choose any more. Choose another."),
    ],
)
def test_a_refused_value_is_told_in_plain_words(db: None, field: str, typed: str, said: str) -> None:
    sent = QueryDict(mutable=True)
    sent[field] = typed
    form = Asked(sent)
    assert form.errors[field] == [said]
    # all that was typed is still in the form
    assert form[field].value() in (typed, [typed])


def test_what_a_record_refuses_is_told_in_plain_words_too(db: None) -> None:
    person = Person(name="n" * 300)
    form = Asked()
    form.cleaned_data = {}
    form._errors = forms.utils.ErrorDict()
    with pytest.raises(forms.ValidationError) as refused:
        person.full_clean()
    form.add_error(None, forms.ValidationError({"name": refused.value.error_dict["name"]}))
    assert form.errors["name"] == ["300 letters are too many, 200 go in."]


def test_a_sentence_of_the_fields_own_stays(db: None) -> None:
    assert Asked(QueryDict("own=0")).errors["own"] == ["Begin at the first."]


class Letters(MaybeBlank, forms.Form):
    """A row of a set."""

    asks = ("letters",)
    letters = forms.CharField(required=False)


def test_too_many_rows_are_told_in_plain_words() -> None:
    rows = row_set(Letters, RowSet, most=2)(
        QueryDict(
            "form-TOTAL_FORMS=3&form-INITIAL_FORMS=0&form-0-letters=a&form-1-letters=b&form-2-letters=c"
        )
    )
    assert rows.non_form_errors() == ["More than 2 can't be kept here: take out the rest."]


def test_no_field_lets_the_browser_cut_off_what_is_pasted(db: None) -> None:
    """A browser keeps the first letters that `maxlength` allows, and says nothing of the rest."""
    assert "maxlength" not in str(Asked().as_p())
    assert Asked(QueryDict(f"name={'n' * 300}"))["name"].value() == "n" * 300
