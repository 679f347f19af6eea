"""The works of a maker that had several."""

from typing import Any

from django.forms import inlineformset_factory

from catalogue.common.forms.base import RecordForm
from catalogue.specimens.models import Maker, Town, Works

from .maker import years_in_order
from .only_for import name_field
from .rows import Rows


class WorksForm(RecordForm):
    """One works."""

    use_required_attribute = False
    town_name = name_field("Town", "towns")

    class Meta:
        model = Works
        fields = ["name", "from_year", "to_year"]
        labels = {"name": "Works", "from_year": "Ran from", "to_year": "Ran to"}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.town_id:
            self.initial["town_name"] = in_full(self.instance.town)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        years_in_order(self, data, "from_year", "to_year")
        return data


def in_full(town: Town) -> str:
    """A town as it may be typed: name, region."""
    return ", ".join(filter(None, (town.name, town.region)))


WorksForms = inlineformset_factory(
    Maker, Works, form=WorksForm, formset=Rows, extra=1, max_num=20, validate_max=True, absolute_max=40
)
