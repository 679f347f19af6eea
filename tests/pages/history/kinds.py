"""A record of each kind that has a history, and the page that shows it."""

from django.urls import reverse

from catalogue.care.models import ConditionReport, Treatment
from catalogue.care.services import start_soak
from catalogue.common.models import HouseSettings
from catalogue.labels.models import OwnSheet
from catalogue.photos.services import take_in
from catalogue.sites.models import Permission
from catalogue.specimens.models import Wish
from tests import factories as make
from tests.care.makers import bath, crusted, soak, tool, tub
from tests.photos.drawn import jpeg


def pages_of_kinds() -> dict[str, tuple[object, str]]:
    """A record of each kind, and the page that shows it."""
    site = make.site("Whelk Bank")
    dive, place, find = make.dive(site), make.place("Hall case"), crusted("Jar")
    permission = Permission.objects.create(site=site, basis="owner")
    maker, town = make.keep_maker(make.Maker(name="Ebb Glass")), make.town()
    wish = Wish.objects.create(what="the half pint")
    photo = take_in(jpeg(width=300, height=200), subject=find)
    report = ConditionReport.objects.create(find=find, on=dive.date, grade="sound")
    treatment = Treatment.objects.create(find=find, method="soak", begun=find.created)
    vessel, brush, acid = tub(), tool(), bath(find)
    water = start_soak(soak(), [crusted("Flask")])
    sheet = OwnSheet.objects.create(name="Parcel labels", roll=True, label_width_mm=44, label_height_mm=22)
    house = HouseSettings.current()
    house.save()
    shown = {
        "find": find,
        "dive": dive,
        "site": site,
        "place": place,
        "town": town,
        "maker": maker,
        "bottler": make.bottler(),
        "product": make.product(),
    }
    return {key: (record, record.get_absolute_url()) for key, record in shown.items()} | {
        "permission": (permission, reverse("dives:permission_edit", args=[site.slug, permission.pk])),
        "wish": (wish, reverse("still_looking_for:wish", args=[wish.pk])),
        "picture": (photo, reverse("photos:words", args=[photo.pk])),
        "tool": (brush, reverse("workbench:tool", args=[brush.pk])),
        "vessel": (vessel, reverse("workbench:vessel", args=[vessel.pk])),
        "condition": (report, reverse("workbench:condition_change", args=[find.number, report.pk])),
        "treatment": (treatment, reverse("workbench:treatment_change", args=[find.number, treatment.pk])),
        "bath": (acid, reverse("workbench:bath", args=[acid.pk])),
        "sheet": (sheet, reverse("labels:own_sheet", args=[sheet.pk])),
        "house": (house, reverse("settings:house")),
        "soak": (water, reverse("workbench:soak", args=[water.pk])),
    }
