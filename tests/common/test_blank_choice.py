"""A choice of which nothing is chosen begins with words, not with dashes."""

import pytest
from django import forms

from catalogue.common.forms import HouseForm
from catalogue.common.words import GAP_WORDS
from catalogue.pages.finds.detail.forms import OpinionForm
from catalogue.sites.models import Site
from tests import factories as make

DASHES = "---------"


class Chosen(HouseForm):
    must = forms.ChoiceField(choices=[("", DASHES), ("a", "first")])
    may = forms.ChoiceField(choices=[("", DASHES), ("a", "first")], required=False)
    own = forms.ChoiceField(choices=[("", "any of them"), ("a", "first")], required=False)
    row = forms.ModelChoiceField(Site.objects.none(), required=False)
    named = forms.ModelChoiceField(Site.objects.none(), empty_label="no site yet", required=False)


def test_words_stand_where_django_has_dashes() -> None:
    form = Chosen()
    assert [form.fields[name].choices[0][1] for name in ("must", "may", "own")] == [
        "choose one",
        GAP_WORDS,
        "any of them",
    ]
    assert form.fields["row"].empty_label == GAP_WORDS and form.fields["named"].empty_label == "no site yet"
    assert Chosen.base_fields["must"].choices[0][1] == DASHES


@pytest.mark.django_db
def test_pages_of_forms_show_no_dashes(owner_client) -> None:
    find = make.find()
    assert "choose one" in str(OpinionForm(find=find)["about"])
    page = find.get_absolute_url()
    for address in (page, f"{page}edit/", "/dives/new/", "/makers/new/"):
        assert DASHES not in owner_client.get(address).content.decode(), address
