"""The four kinds of bed that the demo's finds lay on: their colours, and what stands on them."""

from dataclasses import dataclass

from .specs import Bed


@dataclass(frozen=True, slots=True)
class BedLook:
    """Colours of water and bed as screen colours; how much lies and grows there."""

    near_water: str
    deep_water: str
    haze: str
    far_rise: str
    dark: str
    light: str
    pebbles: int
    weed: int
    """Short blades out of focus at the sides; eelgrass is drawn apart."""
    ripples: float
    """How deep the ripples of the bed are shaded, 0 for none."""
    shafts: float
    """How strongly the sun comes down, 0 for none."""


BEDS: dict[Bed, BedLook] = {
    "silt": BedLook(
        "#6db8ac", "#1f5f60", "#2f7672", "#1c5452", "#4d5c4d", "#a3a283", 150, 34, ripples=0.13, shafts=0.42
    ),
    # A ledge in clear, blue water: stone steps into the haze, gravel and shell lie in its pockets.
    "rocks": BedLook(
        "#7cc3d6", "#1c5277", "#2d6e8e", "#1b4a66", "#55605c", "#b7b39b", 420, 6, ripples=0.03, shafts=0.5
    ),
    # Under an old wharf: brown, dim water, mud, and posts one behind the other.
    "piles": BedLook(
        "#8f9a63", "#39492c", "#4f5c38", "#35412a", "#3d3a2c", "#857c5e", 190, 0, ripples=0.02, shafts=0.12
    ),
    # A meadow of eelgrass on light sand, in bright shallow water.
    "eelgrass": BedLook(
        "#a9dcc0", "#35807a", "#4f9a84", "#2d6b55", "#8b8868", "#d9cfa8", 60, 0, ripples=0.2, shafts=0.5
    ),
}
