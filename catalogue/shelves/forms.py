"""The form of a place."""

from typing import Any, cast

from django.forms import ModelChoiceField

from catalogue.common.forms import HouseModelForm

from .models import Place


class PlaceForm(HouseModelForm):
    class Meta:
        model = Place
        fields = ("name", "parent", "kind", "notes")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        parent = cast("ModelChoiceField[Place]", self.fields["parent"])
        parent.queryset = Place.objects.exclude(pk=self.instance.pk)
        parent.empty_label = "(nothing: it stands on its own)"
