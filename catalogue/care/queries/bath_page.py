"""Everything one bath's page shows."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe

from catalogue.care import chemistry
from catalogue.care.bath_sums import BathSums, acid_left, pour_line, sums_of
from catalogue.care.care_tables import Gate, care_tables
from catalogue.care.chemistry import NEUTRALISERS, BadQuantity
from catalogue.care.drawings import side_view, top_view
from catalogue.care.models import Bath, BathMember
from catalogue.care.piece_facts import Knowledge, knowledge_of
from catalogue.care.queries.workbench import BathRow, bath_row
from catalogue.care.safety import BathStep, bath_steps
from catalogue.care.services.bath_checks import why_not
from catalogue.common.localisation import about, units_shown
from catalogue.common.quantities import MASS, Units
from catalogue.photos.models import Photo
from catalogue.specimens.models import Specimen


@dataclass(frozen=True, slots=True)
class WaitingPiece:
    """A piece that waits to go in: why it may not, and whether a written reason would help."""

    member: BathMember
    cover: Photo | None
    why: str
    gates: list[Gate]
    looked: bool
    fixed: bool
    held: frozenset[str]


@dataclass(slots=True)
class BathPage:
    """The bath, its pieces, its sums and its steps."""

    row: BathRow
    chosen: list[WaitingPiece]
    inside: list[tuple[BathMember, Photo | None]]
    out: list[tuple[BathMember, Photo | None]]
    sums: BathSums | None = None
    trouble: str = ""
    left: chemistry.Acid | None = None
    figures: dict[str, str] = field(default_factory=dict)
    steps: dict[str, list[BathStep]] = field(default_factory=dict)
    side: SafeString = SafeString("")
    top: SafeString = SafeString("")
    bases: list[tuple[str, float]] = field(default_factory=list)

    @property
    def bath(self) -> Bath:
        return self.row.bath

    @property
    def to_go(self) -> list[BathStep]:
        """The steps until the clock starts; what is mixed is not mixed again."""
        parts = ("before", "in") if self.bath.mixed_at else ("before", "mix", "in")
        return [step for part in parts for step in self.steps.get(part, ())]

    @property
    def to_come_out(self) -> list[BathStep]:
        return [step for part in ("during", "out") for step in self.steps.get(part, ())]

    @property
    def milder(self) -> list[tuple[chemistry.WeakAcid, float]]:
        """Citric acid and vinegar, as much liquid: each with its ceiling in grams of growth."""
        liquid_ml = self.sums.plan.liquid_ml if self.sums else 0.0
        return [(weak, weak.dissolves_g(liquid_ml)) for weak in chemistry.weak_acids()]

    @property
    def neutralisers(self) -> list[tuple[str, str]]:
        """What stops the acid, each base with its amount as one weighs it."""
        return [(name, grams(g)) for name, g in self.bases]

    @property
    def blocked(self) -> bool:
        return any(each.why for each in self.chosen)


def bath_page(bath: Bath) -> BathPage:
    """Gather a bath's page: a dozen queries, however many pieces."""
    members = list(bath.members.select_related("find__dive__site", "find__site", "treatment").order_by("pk"))
    covers = Photo.objects.covers_of([member.find_id for member in members])
    known = knowledge_of([member.find for member in members if not member.in_at])
    row = bath_row(bath, timezone.now())
    page = BathPage(
        row,
        [_chosen(member, covers, known[member.find_id]) for member in members if not member.in_at],
        [(m, covers.get(m.find_id)) for m in members if m.in_at and not m.out_at],
        [(m, covers.get(m.find_id)) for m in members if m.out_at],
    )
    here = [member for member in members if not member.out_at]
    try:
        page.sums = sums_of(bath, here)
    except BadQuantity as error:
        page.trouble = str(error)
    if bath.mixed_at:
        page.left = acid_left(bath)
    acid = page.left or (page.sums.plan.bath if page.sums else None)
    if acid:
        page.bases = [(name, acid.neutraliser_g(name)) for name in NEUTRALISERS]
    if page.sums:
        _draw(page, page.sums)
        page.figures = figures_of(page, page.sums)
        for step in bath_steps(**page.figures):
            page.steps.setdefault(step.part, []).append(step)
    return page


def figures_of(page: BathPage, sums: BathSums) -> dict[str, str]:
    """What the steps are filled in with."""
    bath, plan = page.bath, sums.plan
    fresh = bath.acid or plan.bath
    now = page.left or plan.bath
    water = bath.water_ml or plan.water_ml
    acid = bath.acid_ml or plan.acid_ml
    stock = min(36.0, max(2.0, bath.strength_wt_pct))
    return {
        "vessel": str(bath.vessel),
        "water": litres(water),
        "acid": litres(acid),
        "water_line": pour_line(bath, water).words,
        "acid_line": pour_line(bath, water + acid).words,
        "final_line": sums.final_line.words,
        "held": litres(sums.held_inside_ml),
        "stop": "; or ".join(f"{grams(g)} of {name}" for name, g in page.bases),
        "gas": f"{fresh.gas_l():.0f}",
        "soda": grams(fresh.neutraliser_g()),
        "soda_now": f"about {grams(now.neutraliser_g())} {'as it is now' if page.left else 'while fresh'}",
        "stock_ppm": f"{round(chemistry.headspace_ppm(stock, float(bath.temperature_c)), -2):.0f}",
    }


def grams(g: float) -> str:
    """As one weighs it: "1.96 kg", "303 g", "10.7 oz"."""
    if units_shown() is Units.INCH:
        return about(g, MASS)
    return f"{g / 1000:.2f} kg" if g >= 1000 else f"{g:.0f} g"


def litres(ml: float) -> str:
    """As one pours it: "12.4 l", "850 ml"."""
    return f"{ml / 1000:.2f} l" if ml >= 1000 else f"{ml:.0f} ml"


def candidates(bath: Bath | None = None) -> list[tuple[Specimen, Photo | None]]:
    """Pieces on the bench that are in no bath, those that are to look near new first."""
    busy = BathMember.objects.filter(out_at=None)
    taken = busy.filter(in_at__isnull=False) if bath is None else busy
    finds = list(
        Specimen.objects.on_the_bench()
        .exclude(pk__in=taken.values("find"))
        .exclude(stage=Specimen.Stage.DRYING)
        .in_order()
        .defer("notes", "story")
    )
    finds.sort(key=lambda find: find.look != "near-new")
    covers = Photo.objects.covers_of([find.pk for find in finds])
    return [(find, covers.get(find.pk)) for find in finds]


def _chosen(member: BathMember, covers: Mapping[int, Photo], known: Knowledge) -> WaitingPiece:
    why, gates = why_not(member, known)
    fixed = any(not gate.override for gate in gates)
    return WaitingPiece(
        member, covers.get(member.find_id), why, gates, known.facts.looked, fixed, known.to_tick
    )


def _draw(page: BathPage, sums: BathSums) -> None:
    bath = page.bath
    shape = bath.vessel.shape
    water = bath.water_ml or sums.plan.water_ml
    acid = bath.acid_ml or sums.plan.acid_ml
    lines = [
        (shape.height_of(water), "water"),
        (shape.height_of(water + acid), "then acid"),
        (sums.final_line.height_mm, "pieces in"),
    ]
    rings = [(shape.height_of(mark.ml), str(mark)) for mark in bath.vessel.marks.all()]
    words = "The vessel from the side with the lines to pour to"
    page.side = mark_safe(side_view(shape, rings=rings, lines=lines, words=words))  # drawn here
    if sums.standing.spots:
        room = shape.room(0, sums.final_line.height_mm)
        page.top = mark_safe(  # drawn from numbers alone
            top_view(room, sums.standing.spots, words="The vessel from above with the pieces standing in it")
        )


def gates_to_look_for() -> list[Gate]:
    """What somebody looks for on the piece before acid."""
    return [gate for gate in care_tables().gates.values() if gate.by_eye]
