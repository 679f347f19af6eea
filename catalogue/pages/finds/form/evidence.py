"""What a half-filled form says about the years."""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from catalogue.sites.models import Dive
from catalogue.specimens.evidence import Evidence
from catalogue.specimens.models import Bottler, Product, Specimen

if TYPE_CHECKING:
    from .sheet import RecordSheet


def evidence_in(sheet: "RecordSheet") -> tuple[Evidence, dict[str, list[Any]]]:
    """The evidence, and which forms its rows came from, in the same order."""
    forms: dict[str, list[Any]] = {
        name: [form for form in rows.entered() if not form.errors] if rows.is_bound else []
        for name, rows in sheet.sets.items()
    }
    # Kept in step with the rows that are asked about, so that a refusal finds its row again.
    forms["readings"] = [form for form in forms["readings"] if form.reading().was_read]
    stored = sheet.start.evidence

    def rows(name: str, otherwise: Iterable[Any]) -> Iterable[Any]:
        return [form.row() for form in forms[name]] if sheet.sets[name].is_bound else otherwise

    typed = [form.reading() for form in forms["readings"]]
    evidence = Evidence(
        _find_of(sheet),
        readings=typed if sheet.sets["readings"].is_bound else stored.readings,
        inscriptions=rows("lettering", stored.inscriptions),
        known=rows("known", stored.known),
        features=sheet.features.rows() if sheet.features.is_bound else stored.features,
        maker_opinion=stored.maker_opinion,
        bottler=_bottler(sheet.find_form.cleaned_data.get("bottler") or ""),
    )
    return evidence, forms


def _find_of(sheet: "RecordSheet") -> Specimen:
    """A find that is never saved, with the columns the dating looks at."""
    data = sheet.find_form.cleaned_data
    chosen = sheet.dive_form.chosen()
    find = Specimen(
        region=data.get("region") or "",
        contents=data.get("contents") or "",
        colour=data.get("colour") or "",
        recovered_edtf=str(chosen.day.year) if chosen.day else chosen.recovered,
    )
    if data.get("product"):
        find.product = Product(name=data["product"])
    if chosen.dive:
        find.dive = Dive.everything.filter(pk=chosen.dive).first()
    return find


def _bottler(name: str) -> Bottler | None:
    """The bottler of that name with its years in business, or only its name."""
    name = " ".join(name.split())
    if not name:
        return None
    return Bottler.objects.filter(name__iexact=name).first() or Bottler(name=name)
