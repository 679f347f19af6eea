"""The form of a place."""

from catalogue.common.forms import HouseModelForm

from .models import Place


class PlaceForm(HouseModelForm):
    class Meta:
        model = Place
        fields = ("name", "parent", "kind", "notes")

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["parent"].queryset = Place.objects.exclude(pk=self.instance.pk)
        self.fields["parent"].empty_label = "(nothing: it stands on its own)"
