"""The form of a story."""

from django import forms

from catalogue.specimens.models import Specimen


class StoryForm(forms.Form):
    """The story, and a mark of the one that was on the page when it was opened."""

    use_required_attribute = False

    story = forms.CharField(
        label="Its story",
        required=False,
        max_length=Specimen._meta.get_field("story").max_length,
        widget=forms.Textarea(attrs={"rows": 9}),
    )
    seen = forms.CharField(required=False, widget=forms.HiddenInput)
