"""How a plate was made, in words that are kept with it."""

from .looks import METHODS, Look, Shape
from .recipe import Lamp, Place, Recipe


def caption_of(recipe: Recipe, look: Look, shape: Shape) -> str:
    """What it is, short: it stands below the picture."""
    of = "the base" if recipe.rim else "the picture"
    how = f"{of} unrolled" if shape == Shape.STRIP else of
    return f"Plate of {how}, {look.label if look != Look.RELIT else 'lit anew'}"


def how_made(recipe: Recipe, look: Look, shape: Shape, lamp: Lamp) -> str:
    """Method, pictures, points and lamp; enough to make it again. At most 500 characters."""
    parts = [METHODS[look], pictures(recipe)]
    if recipe.rim:
        points = "; ".join(said(place) for place in recipe.rim)
        parts.append(f"rim at {points} (per cent from left, top)")
        if recipe.middle:
            parts.append(f"middle {said(recipe.middle)}")
        if shape == Shape.STRIP:
            way = "heads to the rim" if recipe.outward else "heads to the middle"
            parts.append(
                f"from {recipe.start_deg:g}° clockwise, {way}, ring from {recipe.inner:g} of the radius"
            )
        elif recipe.turn_deg:
            parts.append(f"turned {recipe.turn_deg:g}°")
    if look == Look.RELIT:
        parts.append(f"lamp at {lamp.clock:g} o'clock, {lamp.high_deg:g}° high, slopes × {lamp.steep:g}")
    text = "Worked out here: " + ", ".join(parts) + "."
    return text if len(text) <= 500 else text[:499] + "…"


def pictures(recipe: Recipe) -> str:
    """Which originals: by their row, and by the start of the digest of the first."""
    named = ", ".join(str(shot.pk) for shot in recipe.shots)
    first = recipe.shots[0].sha256[:8]
    if len(recipe.shots) == 1:
        return f"from picture {named} (SHA-256 {first}…)"
    if recipe.clocks is None:
        return f"from pictures {named} (first SHA-256 {first}…), lamp's places not noted"
    hours = ", ".join(f"{clock:g}" for clock in recipe.clocks)
    return (
        f"from pictures {named} (first SHA-256 {first}…), lamp at {hours} o'clock, {recipe.rise_deg:g}° high"
    )


def said(place: Place) -> str:
    return f"{place[0]:.1f} {place[1]:.1f}"
