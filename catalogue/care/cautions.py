"""Cautions that stand beside a treatment. Reminders only: the label and the safety data sheet come first."""

from dataclasses import dataclass

from .models import Treatment

Method = Treatment.Method

# The tool gives reminders; what it can't know is the product in hand and the law of the place.
DEFER = (
    "Follow the label and the safety data sheet of what you use, your local rules, and licensed practice "
    "where the work asks for it."
)


@dataclass(frozen=True, slots=True)
class Caution:
    """What to mind with a method; `again` is False where it should not be done another time."""

    words: str
    source: str
    again: bool = True


ACID = (
    "Acid into cold water, never water on to acid. Goggles, long acid-rated gloves, open air, lid loose. "
    "Never with bleach, peroxide or metal; never on a sealed, cracked, painted, gilt or iridescent piece."
)
CAUTIONS = {
    Method.ACID: Caution(ACID, "safety data sheets for hydrochloric acid; conservators advise against it"),
    Method.VINEGAR: Caution(
        "An acid all the same: not on painted, gilt, lead or iridescent glass, not with peroxide or bleach.",
        "common practice; times from memory",
    ),
    Method.CITRIC: Caution(
        "An acid all the same: not on painted, gilt, lead or iridescent glass; "
        "heavy shell leaves a white crust.",
        "common practice; figures from memory",
    ),
    Method.SCRAPE: Caution(
        "Keep it wet, blade flat, away from the lip and from lettering. "
        "Eye protection: barnacles and glass fly.",
        "published conservation practice; our own wording",
    ),
    Method.SOAP: Caution(
        "Cold or lukewarm water and a padded sink; leave flaking layers alone.", "museum advice"
    ),
    Method.DETAIL: Caution(
        "Softest tool first. A brush thinner than the neck; stop at any crack. "
        "Wet glass is slippery and cuts.",
        "common practice, no source",
    ),
    Method.SOAK: Caution(
        "Cover it and change the water: dead growth smells and harbours infection.", "common practice"
    ),
    Method.DRY: Caution(
        "In the shade, no heater: quick drying opens cracks and lifts layers.", "common practice"
    ),
    Method.NEUTRALISE: Caution("It fizzes: add by spoonfuls, leave headroom, never cap it.", "from memory"),
    Method.PEROXIDE: Caution(
        "Three per cent at most to begin with, vented, goggles. Never where acid has not been rinsed off.",
        "general safety data sheets; from memory",
    ),
    Method.BLEACH: Caution(
        "With any acid left on the piece bleach gives off chlorine, a poison gas. Better not done again: "
        "peroxide does the same work on a rinsed piece.",
        "published safety sheets on hypochlorite",
        again=False,
    ),
    Method.TUMBLE: Caution(
        "Tumbling takes the surface away for good and must be told to whoever gets the piece. "
        "Better not done again without a reason.",
        "published collectors' practice",
        again=False,
    ),
}
# Work that waits where a site is noted as a wreck or has a military link. Vinegar and citric are acids too.
HELD_METHODS = frozenset({Method.ACID, Method.VINEGAR, Method.CITRIC, Method.TUMBLE})


def caution_for(method: str) -> Caution | None:
    """The caution of a method, if it has one."""
    return CAUTIONS.get(Method(method)) if method in Method.values else None


def waits(method: str, site: object | None) -> bool:
    """Whether this method waits for a person's decision on the site of the find."""
    return bool(site is not None and getattr(site, "holds", False) and method in HELD_METHODS)
