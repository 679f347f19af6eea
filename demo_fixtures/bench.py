"""What stands on the demo's bench today: a soak with its readings, a bath with its clock, a tool kit."""

from datetime import timedelta
from decimal import Decimal

from django.utils import timezone

from catalogue.care.models import Bath, Soak, Vessel, VesselMark
from catalogue.care.services import bring_usual_kit
from catalogue.care.services.baths import look_in, plan_bath, start_load
from catalogue.care.services.soaks import read_soak, start_soak
from catalogue.care.services.treatments import note_look
from catalogue.specimens.models import Specimen

# days ago, µS/cm, water changed: the salt of the open sound coming out into tap water of 290
READINGS = (
    (20, 9800, True),
    (17, 4100, True),
    (14, 1650, True),
    (10, 760, True),
    (6, 470, True),
    (2, 395, False),
)
MIXED_AGO = timedelta(hours=1, minutes=20)
# minutes after it was mixed, and when again
LOOKED_AFTER = ((15, 15), (30, 30), (60, 60))


def set_up_bench() -> None:
    """A soak and a bath that are going on now, whenever the demo is started."""
    bring_usual_kit()
    crate = _vessel("Blue crate", 300, 270, 260, (), (420, 380))
    pail = _vessel("White pail", 300, 260, 320, (5000, 10000, 15000))
    now = timezone.now()
    soaking = list(Specimen.objects.filter(stage=Specimen.Stage.SOAKING))
    began = now - timedelta(days=21)
    soak = start_soak(Soak(name="Blue crate", vessel=crate, began_at=began, tap=Decimal(290)), soaking)
    for days, value, changed in READINGS:
        read_soak(soak, Decimal(value), changed=changed, at=now - timedelta(days=days))
    crusted = list(
        Specimen.objects.filter(
            what__in=("Relish jar, Quarl Harbour", "Tall soda, growth all over"), stage=Specimen.Stage.WET
        )
    )
    for find in crusted:
        find.look = Specimen.Look.NEAR_NEW
        find.save(update_fields=["look"])
        note_look(find, [], "by daylight and under a lamp: nothing that speaks against a bath")
    bath = Bath(
        vessel=pail,
        fill_pct=70,
        acid_parts=Decimal(15),
        water_parts=Decimal(85),
        strength_label="31.45 %",
        strength_wt_pct=31.45,
    )
    load = start_load(plan_bath(bath, crusted), at=now - MIXED_AGO)
    for minutes, again in LOOKED_AFTER:
        at = now - MIXED_AGO + timedelta(minutes=minutes)
        look_in(load, again_in=timedelta(minutes=again), at=at)


def _vessel(
    name: str, top: int, bottom: int, height: int, rings: tuple[int, ...], lengths: tuple[int, ...] = ()
) -> Vessel:
    vessel = Vessel.objects.create(
        name=name,
        top_mm=top,
        bottom_mm=bottom,
        height_mm=height,
        **dict(zip(("top_length_mm", "bottom_length_mm"), lengths, strict=False)),
        outline=Vessel.Outline.BOX if lengths else Vessel.Outline.ROUND,
    )
    for number, ml in enumerate(rings, 1):
        VesselMark.objects.create(vessel=vessel, ml=ml, name=f"ring {number}")
    return vessel
