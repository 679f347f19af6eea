"""The form of a place."""

from typing import Any

from catalogue.common.forms import HouseModelForm
from catalogue.common.forms.fields import row_field

from .models import Place


class PlaceForm(HouseModelForm):
    class Meta:
        model = Place
        fields = ("name", "parent", "kind", "capacity", "dust_months", "light_months", "notes")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        parent = row_field(self, "parent")
        parent.queryset = Place.objects.exclude(pk=self.instance.pk)
        parent.empty_label = "(nothing: it stands on its own)"
