"""Which pictures the demo has, and of what: one entry a file."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from .draw.bottle import standing
from .draw.pose import SQUARE, PutDown
from .draw.solid import build_solid
from .draw.specs import BaseMark, Bed, BottleSpec, FiredLabel, Lie, Line
from .scenario import backlog, documented, table

BOTTLE_PX, BASE_PX, LAMP_PX = (600, 800), 640, 640
LIES: dict[str, Lie] = {"upright": "upright in silt", "half-buried": "half buried", "buried": "half buried"}
GLASSES = {"amethyst": "sun-purple", "straw": "colourless", "green": "emerald", "milk-glass": "milk"}
# what a worn reading was before the sea: the base is drawn with it, worn
WHOLE = {"T?": "TH", "?H": "TH", "B?": "BW", "?W": "BW", "OF?": "OFG", "4?": "41", "2?": "24", "?": "3"}
# the bases that are also pictured under a lamp from eight sides
LAMPED = ("d06", "d34")


@dataclass(frozen=True, slots=True)
class Planned:
    """One picture: its file, what it is of, its role, and what draws it."""

    file: str
    subject: str
    role: str
    kind: str
    what: Any
    growth: float = 0.0
    wear: float = 0.0
    lamp_deg: float = 0.0
    seed: int = 1
    bed: Bed = "silt"
    put_down: PutDown = SQUARE


def planned() -> Iterator[Planned]:
    """Every picture of the demo, in the order in which its subject shows them."""
    for n, row in enumerate(documented()):
        if "draw" in row:
            yield from _of_find(row, seed=n + 1)
    for n, row in enumerate(backlog()):
        yield Planned(f"{row['key']}-after.jpg", row["key"], "after", "after", spec_of(row), seed=200 + n)
    for n, row in enumerate(table("waters")["site"]):
        yield Planned(
            f"site-{row['key']}.jpg", f"site:{row['key']}", "detail", "site", row["name"], seed=n + 3
        )
    shelf = table("finds_backlog")["shelf"]
    specs = [spec_of(row) for row in backlog()]
    yield Planned(f"shelf-{shelf}.jpg", f"place:{shelf}", "detail", "shelf", specs, seed=7)


def _of_find(row: dict[str, Any], seed: int) -> Iterator[Planned]:
    key, draw, spec = row["key"], row["draw"], spec_of(row)
    stage = row.get("stage", "done")
    growth = draw.get("growth", 0.6)
    if stage in ("done", "drying") and not draw.get("only_found"):
        keep = draw.get("keep", 0.0)
        yield Planned(f"{key}-after.jpg", key, "after", "after", spec, growth=keep, seed=seed)
        yield Planned(
            f"{key}-before.jpg", key, "before", "before", spec, growth, seed=seed, put_down=put_down(seed)
        )
    elif stage in ("soaking", "cleaning"):
        yield Planned(f"{key}-during.jpg", key, "during", "bench", spec, growth=growth * 0.6, seed=seed)
    bed = bed_of(row)
    yield Planned(f"{key}-as-found.jpg", key, "as-found", "found", spec, growth=growth, seed=seed, bed=bed)
    mark = mark_of(row)
    if mark is None or stage == "wet":
        return
    wear = draw.get("wear", 0.55 if _worn(row) else 0.12)
    yield Planned(f"{key}-base.jpg", key, "base", "base", mark, wear=wear, lamp_deg=315, seed=seed)
    if key in LAMPED:
        for lamp in range(8):
            name = f"{key}-lamp-{lamp}.jpg"
            yield Planned(name, key, "base", "lamp", mark, wear=wear, lamp_deg=lamp * 45.0, seed=seed)


def bed_of(row: dict[str, Any]) -> Bed:
    """What kind of bed the find lay on, by the site of its dive."""
    waters = table("waters")
    at = next((dive["site"] for dive in waters["dive"] if dive["key"] == row.get("dive")), None)
    bed: Bed = next((site["bed"] for site in waters["site"] if site["key"] == at), "silt")
    return bed


def put_down(seed: int) -> PutDown:
    """How a find stood before the camera ahead of the work: about as after it, but set down by hand."""
    rng = np.random.default_rng([seed, 29])
    right, down = rng.uniform(-16, 16), rng.uniform(-10, 4)
    return PutDown(float(right), float(down), float(rng.uniform(0.93, 1.0)), float(rng.uniform(-2.5, 2.5)))


def laid_marks(row: dict[str, Any], seed: int) -> list[list[float]]:
    """Four places of the find as a person would tap them, in per cent of its pictures before and after.

    Both ends of the lip and of the foot; each is left and top in the picture before, then in the one after.
    """
    spec = spec_of(row)
    solid = build_solid(spec)
    lip = float(solid.outer[0][-1])
    across = np.array([-lip, lip, -solid.radius_mm, solid.radius_mm], dtype=np.float32)
    poses = [standing(spec, BOTTLE_PX, moved) for moved in (put_down(seed), SQUARE)]
    # The eye looks down a little, and so sees the height foreshortened.
    high = solid.height_mm * np.cos(np.radians(poses[0].tilt_deg))
    along = np.array([high, high, 6.0, 6.0], dtype=np.float32)
    places = [pose.to_pixel(across, along) for pose in poses]
    shares = [100 * pixels / side for place in places for pixels, side in zip(place, BOTTLE_PX, strict=True)]
    return [[round(float(share), 2) for share in mark] for mark in np.stack(shares, axis=1)]


def spec_of(row: dict[str, Any]) -> BottleSpec:
    """The bottle that a find's row describes."""
    draw, sizes = row["draw"], row.get("sizes")
    label = draw.get("label")
    given: dict[str, Any] = {}
    if sizes:
        given |= {"height_mm": float(sizes[0]), "diameter_mm": float(sizes[1])}
    if label:
        given["label"] = FiredLabel(**{**label, "lines": tuple(label["lines"])})
    return BottleSpec(
        profile=draw["profile"],
        colour=draw.get("colour_drawn", GLASSES.get(draw["colour"], draw["colour"])),
        finish=draw.get("finish", ""),
        embossing=tuple(Line(text, size, at) for text, size, at in draw.get("lines", ())),
        upwards=draw.get("upwards", False),
        haze=draw.get("haze", 0.0),
        lie=LIES.get(row.get("lie", ""), "proud"),
        **given,
    )


def mark_of(row: dict[str, Any]) -> BaseMark | None:
    """The base that a find's reading describes, as it was before wear; None where nothing was read."""
    readings = row.get("reading")
    if not readings:
        return None
    read = readings[0]
    letters = WHOLE.get(read["letters"], read["letters"])
    if read.get("arrangement") == "with-ampersand":
        letters = "&".join(letters)
    frame = read.get("frame", "")
    colour = row["draw"]["colour"]
    return BaseMark(
        letters=letters,
        frame="" if frame == "none" else frame,
        symbol=read.get("symbol", ""),
        right=WHOLE.get(read.get("right", ""), read.get("right", "")),
        town=row["draw"].get("town", ""),
        stippling="base-stippling" in row.get("features", ()),
        scar="suction" if "suction-scar" in row.get("features", ()) else "",
        colour=GLASSES.get(colour, colour),
        diameter_mm=float(row["sizes"][2]) if row.get("sizes") else 60.0,
    )


def _worn(row: dict[str, Any]) -> bool:
    read = row["reading"][0]
    return "?" in read["letters"] or "?" in read.get("right", "")
