"""Small makers of what stands on the bench, for these tests."""

from typing import Any

from catalogue.care.models import Bath, Soak, Tool, Vessel, VesselMark
from catalogue.care.services import note_look, plan_bath
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import Parts
from tests import factories as make

SODA = {
    "kind": "soda",
    "look": "near-new",
    "height_mm": 240,
    "diameter_mm": 68,
    "base_mm": 62,
    "bore_mm": 17,
    "mass_g": 540,
    "capacity_ml": 340,
}


# What the form of a soak is sent with, but for its name.
SOAK_FORM = {
    "unit": "us",
    "change_every_days": "1",
    "rule_last": "3",
    "rule_within_pct": "5",
    "rule_near_tap_pct": "10",
}


def tub(name: str = "White tub", rings: tuple[int, ...] = (5000, 10000, 15000), **given: Any) -> Vessel:
    """20 litres, with rings every five."""
    vessel = Vessel.objects.create(name=name, **{"top_mm": 300, "bottom_mm": 260, "height_mm": 330, **given})
    for place, ml in enumerate(rings):
        VesselMark.objects.create(
            vessel=vessel, ml=ml, name=f"the {('first', 'second', 'third')[place]} ring"
        )
    return vessel


def crusted(
    what: str = "Crusted soda bottle",
    parts: Parts | None = None,
    *,
    looked: bool = True,
    found: tuple[str, ...] = (),
    **given: Any,
) -> Specimen:
    """A piece fit for a bath, looked at."""
    find = make.find(what, parts, **{**SODA, **given})
    if looked:
        note_look(find, found)
    return find


def bath(*finds: Specimen, vessel: Vessel | None = None, **given: Any) -> Bath:
    """A planned bath of fifteen to eighty-five from hardware-store acid."""
    planned = Bath(
        vessel=vessel or Vessel.objects.first() or tub(),
        strength_label="31.45 % by weight",
        strength_wt_pct=31.45,
        **given,
    )
    return plan_bath(planned, finds)


def soak(name: str = "Blue crate", **given: Any) -> Soak:
    return Soak(name=name, **given)


def tool(name: str = "Toothbrush", **given: Any) -> Tool:
    return Tool.objects.create(name=name, **{"softness": 2, "where": "outside", **given})
