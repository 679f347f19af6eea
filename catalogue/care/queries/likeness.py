"""Ranking by likeness: the kit for one piece from one's own log, and which piece is in the hand."""

from collections.abc import Callable
from dataclasses import dataclass

from catalogue.care.models import BathMember, BenchPhoto, Tool, ToolUse
from catalogue.care.piece_matching import Match, MeasuredPiece, RecordedPiece, rank_matches
from catalogue.care.tool_ranking import KitTool, PieceTraits, RankedTool, ToolCase, rank, start_with
from catalogue.common.localisation import units_shown
from catalogue.photos.models import Photo
from catalogue.specimens.models import Specimen


@dataclass(frozen=True, slots=True)
class Offered:
    """A tool with its rank, its picture, and whether to begin with it."""

    tool: Tool
    ranked: RankedTool
    photo: BenchPhoto | None
    first: bool


@dataclass(frozen=True, slots=True)
class KitPart:
    """The tools for one side of the glass, `where` "outside" or "inside", with where to begin there."""

    where: Tool.Where
    tools: list[Offered]


# The outside is seen while one works on it: first.
SIDES_IN_ORDER = (Tool.Where.OUTSIDE, Tool.Where.INSIDE)


def tools_for(
    find: Specimen, *, decorated: bool = False, keeps_off: Callable[[Tool], bool] = lambda tool: False
) -> list[KitPart]:
    """Outside and inside apart, each softest first, then by what worked on pieces like it.

    What did nothing on this piece itself comes after the rest. Left out are rough ones on decorated glass,
    and those that `keeps_off` names. Four queries: tools, cases, this piece's own log, pictures.
    """
    tools = {tool.pk: tool for tool in Tool.objects.all() if not keeps_off(tool)}
    # Other pieces alone: what was tried on this one counts by itself.
    uses = ToolUse.objects.exclude(find=find).filter(treatment__binned_at=None)
    uses = uses.select_related("find").order_by("-pk")[:2000]
    cases: dict[tuple[int, int], ToolCase] = {}
    for use in uses:
        # The last word on a tool and a piece is the one that counts: a piece is one case.
        cases.setdefault(
            (use.tool_id, use.find_id), ToolCase(use.tool_id, piece_of(use.find), use.WORTH[use.worked])
        )
    piece, here = piece_of(find, decorated=decorated), tried_on(find)
    photos = {photo.tool_id: photo for photo in BenchPhoto.objects.filter(tool__in=tools).order_by("pk")}
    parts = []
    for where in SIDES_IN_ORDER:
        kit = [kit_of(tool) for tool in tools.values() if tool.where == where]
        ranked = rank(kit, cases.values(), piece, here=here)
        first = start_with(ranked)
        offered = [
            Offered(tools[each.tool.key], each, photos.get(each.tool.key), each is first) for each in ranked
        ]
        parts.append(KitPart(where, offered))
    return [part for part in parts if part.tools]


def tried_on(find: Specimen) -> dict[int, float]:
    """By tool, what its last go at this piece was worth. One query."""
    uses = ToolUse.objects.filter(find=find, treatment__binned_at=None).order_by("at", "pk")
    return {tool: ToolUse.WORTH[worked] for tool, worked in uses.values_list("tool", "worked")}


def piece_of(find: Specimen, *, decorated: bool = False) -> PieceTraits:
    """A find as the ranking sees it."""
    return PieceTraits(
        bore_mm=float(find.bore_mm) if find.bore_mm else None,
        capacity_ml=float(find.capacity_ml) if find.capacity_ml else None,
        kind=find.kind,
        held=find.contents,
        decorated=decorated,
        units=units_shown(),
    )


def kit_of(tool: Tool) -> KitTool:
    return KitTool(
        tool.pk,
        tool.softness,
        tool.rough,
        tool.where == Tool.Where.INSIDE,
        float(tool.bore_from_mm) if tool.bore_from_mm else None,
        float(tool.bore_to_mm) if tool.bore_to_mm else None,
    )


@dataclass(frozen=True, slots=True)
class Alike:
    """A piece, how well it agrees, and its picture."""

    find: Specimen
    match: Match
    cover: Photo | None


def pieces_like(seen: MeasuredPiece, *, bath: int | None = None) -> list[Alike]:
    """The likeliest first, among the pieces of a bath or all on the bench. Three queries."""
    if bath is None:
        finds = Specimen.objects.on_the_bench()
    else:
        finds = Specimen.objects.filter(pk__in=BathMember.objects.filter(bath=bath).values("find"))
    rows = {find.pk: find for find in finds.prefetch_related("readings").defer("notes", "story")}
    known = [
        RecordedPiece(
            find.pk,
            float(find.base_mm) if find.base_mm else None,
            float(find.height_mm) if find.height_mm else None,
            tuple(reading.letters for reading in find.readings.all() if reading.letters),
        )
        for find in rows.values()
    ]
    covers = Photo.objects.covers_of(rows)
    return [Alike(rows[match.key], match, covers.get(match.key)) for match in rank_matches(seen, known)]
