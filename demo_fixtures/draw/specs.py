"""What a drawn bottle is made of: plain descriptions, no pixels."""

from dataclasses import dataclass, field
from typing import Literal

Lie = Literal["upright in silt", "half buried", "proud"]
Ground = Literal["paper", "seabed", "bench"]
Bed = Literal["silt", "rocks", "piles", "eelgrass"]
LightFrom = Literal["behind", "side"]


@dataclass(frozen=True, slots=True)
class Line:
    """One line of raised lettering: its text, height in mm, and how far up the vessel (0 foot, 1 lip)."""

    text: str
    size_mm: float = 9.0
    at: float = 0.42
    arch: float = 0.0
    """Above 0 the line bows up like a bridge, below 0 it hangs; 1 is a half circle."""


@dataclass(frozen=True, slots=True)
class FiredLabel:
    """A label of coloured enamel fired on the glass; `state` tells what the sea has left of it."""

    lines: tuple[str, ...]
    ground: str = "#f3efe2"
    ink: str = "#a3261f"
    from_height: float = 0.16
    to_height: float = 0.50
    state: Literal["bright", "worn", "ghost"] = "bright"


@dataclass(frozen=True, slots=True)
class BottleSpec:
    """A vessel to draw: `profile`, `finish` and `colour` name entries of `PROFILES`, `FINISHES`, `GLASSES`.

    `finish` left empty takes the one that usually goes with the profile. Sizes in mm.
    """

    profile: str
    colour: str = "aqua"
    height_mm: float = 220.0
    diameter_mm: float = 62.0
    finish: str = ""
    embossing: tuple[Line, ...] = ()
    plate: bool = False
    """A raised ring around the lettering, as bottlers' interchangeable mould plates left."""
    upwards: bool = False
    """Lettering runs up the face (flat-panelled medicines)."""
    label: FiredLabel | None = None
    wall_mm: float = 3.6
    bubbles: int = 14
    haze: float = 0.0
    """Sea-worn surface: 0 bright as made, 1 frosted all over."""
    lie: Lie = "proud"


@dataclass(frozen=True, slots=True)
class BaseMark:
    """Raised characters on a base: the maker's letters in their frame and what stands beside it."""

    letters: str = ""
    frame: str = ""
    """`circle`, `oval`, `square`, `diamond`, `hexagon`, `triangle`, `shield`, `keystone` or nothing."""
    symbol: str = ""
    """`wave`, `star`, `anchor` or nothing; stands under the letters."""
    left: str = ""
    right: str = ""
    above: str = ""
    below: str = ""
    town: str = ""
    """Set in an arc around the foot of the base."""
    scar: str = ""
    """`pontil`, `suction`, `valve`, `kick` or nothing."""
    stippling: bool = False
    square_base: bool = False
    colour: str = "aqua"
    diameter_mm: float = 62.0
    extra: tuple[str, ...] = field(default=())
    """More wording, set in an arc around the top."""
