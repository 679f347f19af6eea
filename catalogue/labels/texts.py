"""What a find's label says."""

from django.http import HttpRequest
from django.urls import reverse

from catalogue.common.models import HouseSettings
from catalogue.specimens.models import Specimen

from .kinds import LabelText


def label_of(find: Specimen, base: str) -> LabelText:
    """The words of a find's label: its town, else its maker, stands on the place line."""
    maker = find.maker.name if find.maker else ""
    if maker and find.maker_how == Specimen.MakerHow.LIKELY:
        maker = f"{maker}, likely"
    return LabelText(
        number=find.number,
        title=find.what,
        place_line=str(find.town) if find.town else maker,
        made_words=find.made_words if find.made_words != "not yet dated" else "",
        url=base + reverse("short", args=[find.number]),
    )


def address_for_labels(request: HttpRequest) -> str:
    """What stands before /f/<number>: the owner's setting, else the address this page is read at."""
    return HouseSettings.current().label_address or f"{request.scheme}://{request.get_host()}"
