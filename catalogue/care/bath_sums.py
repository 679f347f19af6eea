"""The arithmetic of a bath with the catalogue's own pieces and vessels in it."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from catalogue.care.packing import Size
from catalogue.care.volume import Fit, Volume, fit_lying, fit_standing, glass_ml, inside_ml, outside_ml
from catalogue.common.drawings.silhouette import profile_of
from catalogue.common.localisation import about
from catalogue.common.quantities import LENGTH
from catalogue.specimens.models import Specimen

from . import chemistry
from .chemistry import BadQuantity
from .models import Bath, BathMember

# What of the growth an outcome says is gone: our own guess.
SHARE_LEFT = {"none": 1.0, "some": 0.5, "much": 0.2, "": 1.0}


@dataclass(frozen=True, slots=True)
class PourLine:
    """Where to pour to: mm above the bottom, and the same said by the nearest ring below it."""

    ml: float
    height_mm: float
    words: str


@dataclass(frozen=True, slots=True)
class BathSums:
    """A bath as planned: amounts, lines, and whether the pieces go in."""

    plan: chemistry.PourPlan
    glass: list[tuple[Specimen, Volume]]
    held_inside_ml: float
    water_line: PourLine
    acid_line: PourLine
    final_line: PourLine
    standing: Fit
    lying: Fit
    unsized: int
    growth_g: float
    excess: "Excess | None" = None

    @property
    def unknown_glass(self) -> int:
        return sum(1 for _, volume in self.glass if volume.ml is None)

    @property
    def enough(self) -> bool:
        """Whether the acid could dissolve the growth that was estimated, with half of it in hand (ours)."""
        return self.growth_g <= self.plan.bath.dissolves_g / 2


# So many times the acid that the growth can take is worth a word; ours.
TOO_MUCH = 6


@dataclass(frozen=True, slots=True)
class Excess:
    """Far more acid than the growth takes: how many times, and what would do with half of it in hand.

    `fill_pct` is the lower fill; where the pieces would stick out of that, it is the one that covers them,
    and `acid_parts` to a hundred parts is then the weaker mixture.
    """

    times: float
    fill_pct: float
    acid_parts: float | None


def excess_of(bath: Bath, plan: chemistry.PourPlan, growth_g: float, lowest_mm: float) -> Excess | None:
    """Whether this is six times too much acid for the growth; None where none was estimated.

    `lowest_mm` is the depth at which the pieces are just covered lying down.
    """
    if growth_g <= 0 or plan.bath.dissolves_g <= TOO_MUCH * growth_g:
        return None
    shape = bath.vessel.shape
    share = 2 * growth_g / plan.bath.dissolves_g
    wanted = plan.glass_ml + share * plan.liquid_ml
    covered = min(shape.volume_to(lowest_mm), shape.volume_ml * bath.fill_pct / 100)
    times = plan.bath.dissolves_g / growth_g
    if wanted >= covered:
        return Excess(times, wanted / shape.volume_ml * 100, None)
    acid, water = float(bath.acid_parts), float(bath.water_parts)
    left = (covered - plan.glass_ml) / plan.liquid_ml
    parts = acid / (acid + water) * 100 * (share / left if left > 0 else 1)
    return Excess(times, covered / shape.volume_ml * 100, min(parts, acid / (acid + water) * 100))


def sums_of(bath: Bath, members: Iterable[BathMember]) -> BathSums:
    """Everything about a bath that follows from its numbers. Raises BadQuantity."""
    members = list(members)
    finds = [member.find for member in members]
    glass = [(find, glass_of(find)) for find in finds]
    shape = bath.vessel.shape
    plan = chemistry.bath_plan(
        shape.volume_ml,
        bath.fill_pct / 100,
        sum(volume.ml or 0 for _, volume in glass),
        float(bath.acid_parts),
        float(bath.water_parts),
        bath.strength_wt_pct,
        float(bath.temperature_c),
    )
    full = shape.volume_ml * bath.fill_pct / 100
    depth = shape.height_of(full)
    sizes = [size for find in finds if (size := size_of(find))]
    growth_g = sum(float(member.growth_g or 0) for member in members)
    lowest_mm = max((size.width_mm for size in sizes), default=0.0)
    return BathSums(
        plan=plan,
        glass=glass,
        held_inside_ml=sum(inside_of(find).ml or 0 for find in finds),
        water_line=pour_line(bath, plan.water_ml),
        acid_line=pour_line(bath, plan.liquid_ml),
        final_line=pour_line(bath, full),
        standing=fit_standing(shape, depth, sizes),
        lying=fit_lying(shape, depth, sizes),
        unsized=len(finds) - len(sizes),
        growth_g=growth_g,
        excess=None if bath.mixed_at else excess_of(bath, plan, growth_g, lowest_mm),
    )


def pour_line(bath: Bath, ml: float) -> PourLine:
    """A line by the vessel's own rings where it has any: "12 mm above the third ring"."""
    shape = bath.vessel.shape
    height = shape.height_of(ml)
    rings = [(shape.height_of(mark.ml), str(mark)) for mark in bath.vessel.marks.all()]
    below = [ring for ring in rings if ring[0] <= height + 1]
    if not below:
        return PourLine(ml, height, f"{about(height, LENGTH)} above the bottom")
    ring, name = below[-1]
    above = height - ring
    return PourLine(ml, height, name if above < 1.5 else f"{about(above, LENGTH)} above {name}")


def acid_left(bath: Bath) -> chemistry.Acid:
    """What a mixed bath still holds, by the growth that was estimated on the pieces taken out of it."""
    acid = bath.acid
    if acid is None:
        raise BadQuantity("bath", "This bath is not mixed yet.")
    used = sum(dissolved_g(member) for member in bath.members.all() if member.out_at)
    return acid.after(used)


def dissolved_g(member: BathMember) -> float:
    """Grams of growth a piece gave to the bath: its estimate times what the outcome says is gone."""
    return float(member.growth_g or 0) * SHARE_LEFT[member.outcome]


def glass_of(find: Specimen) -> Volume:
    """What a find displaces once filled."""
    return glass_ml(
        mass_g=_number(find.mass_g), capacity_ml=_number(find.capacity_ml), outside=_outside(find)
    )


def inside_of(find: Specimen) -> Volume:
    """What a find holds."""
    return inside_ml(
        capacity_ml=_number(find.capacity_ml), mass_g=_number(find.mass_g), outside=_outside(find)
    )


def size_of(find: Specimen) -> Size | None:
    """Height and greatest width; None where either is not known."""
    if find.height_mm and find.diameter_mm:
        return Size(float(find.height_mm), float(find.diameter_mm))
    return None


def _outside(find: Specimen) -> float | None:
    if not (find.height_mm and find.diameter_mm):
        return None
    points, _ = profile_of(find.kind or "other")
    return outside_ml(points, float(find.height_mm), float(find.diameter_mm))


def _number(value: Decimal | int | None) -> float | None:
    return float(value) if value else None
