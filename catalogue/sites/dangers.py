"""Hazard checklist (enumeration) of a dive site: what a diver meets there, ticked or in own words."""

from collections.abc import Collection

from django.db import models


class Danger(models.TextChoices):
    CURRENT = "current", "strong current or tide"
    SURGE = "surge", "surge or breaking swell"
    BOATS = "boats", "boat traffic"
    NETS = "nets", "nets, ropes or fishing lines"
    OVERHEAD = "overhead", "wreckage or piles that one can get under"
    SILT = "silt", "silt that takes all sight"
    OUTFALL = "outfall", "outfall or dirty water"
    MUNITION = "munition", "munition seen"
    REMAINS = "remains", "human remains or a grave seen"
    PROTECTED = "protected", "protected area: nothing is taken or moved without leave"


# Where these are on record, what lies there is not touched but reported.
UNTOUCHED = frozenset({Danger.MUNITION, Danger.REMAINS, Danger.PROTECTED})


def danger_lines(ticked: Collection[str], words: str) -> list[str]:
    """What is ticked, in the order of the list, then the owner's own words; none for a site without."""
    lines = [str(danger.label) for danger in Danger if danger.value in ticked]
    return [*lines, *filter(None, [words.strip()])]
