"""One set of field markup: Django's field groups, drawn by the project's renderer."""

import re

from django import forms

from tests.house.imports import ROOT


class Asked(forms.Form):
    """A field of every markup."""

    name = forms.CharField(help_text="As on the label.")
    sure = forms.BooleanField(required=False, label="Sure & certain")
    kind = forms.ChoiceField(choices=[("a", "A"), ("b", "B")], widget=forms.RadioSelect, required=False)


def test_no_template_includes_the_markup_of_a_field() -> None:
    found = list((ROOT / "templates").rglob("*.html"))
    assert len(found) > 100
    for path in found:
        assert not re.search(r'include "parts/field', path.read_text(encoding="utf-8")), path


def test_a_field_group_names_its_help_and_its_error() -> None:
    html = Asked({}, auto_id="id_%s")["name"].as_field_group()
    assert '<div class="field has-error">' in html
    assert 'aria-describedby="id_name_helptext id_name_error"' in html and 'aria-invalid="true"' in html
    assert '<p class="help" id="id_name_helptext">As on the label.</p>' in html
    assert 'role="alert" id="id_name_error">This field is required.</p>' in html
    assert '<span class="star" title="needed">*</span></label>' in html


def test_a_tick_stands_inside_its_label_and_radios_in_a_fieldset() -> None:
    form = Asked()
    tick, radios = form["sure"].as_field_group(), form["kind"].as_field_group()
    assert re.search(r'<label class="tick" for="id_sure"><input[^>]*> <span>Sure &amp; certain</span>', tick)
    assert "<fieldset><legend>Kind</legend>" in radios


def test_a_wide_group_says_so() -> None:
    assert '<div class="field wide">' in Asked()["kind"].as_wide_group()


def test_a_whole_form_uses_the_same_markup() -> None:
    assert str(Asked()).count('<div class="field">') == 3
