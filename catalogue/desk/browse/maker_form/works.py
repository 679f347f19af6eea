"""The works of a maker that had several."""

from django import forms
from django.forms import inlineformset_factory

from catalogue.specimens.models import Maker, Works

from .maker import years_in_order
from .rows import Rows


class WorksForm(forms.ModelForm):
    """One works."""

    use_required_attribute = False

    class Meta:
        model = Works
        fields = ["name", "from_year", "to_year"]
        labels = {"name": "Works", "from_year": "Ran from", "to_year": "Ran to"}

    def clean(self) -> dict:
        data = super().clean()
        years_in_order(self, data, "from_year", "to_year")
        return data


WorksForms = inlineformset_factory(
    Maker, Works, form=WorksForm, formset=Rows, extra=1, max_num=20, validate_max=True, absolute_max=40
)
