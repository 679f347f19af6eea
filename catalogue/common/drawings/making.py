"""The sketch that shows a feature of making, wherever on the vessel it is seen."""

from catalogue.common.drawings.base_scars import base_scar
from catalogue.common.drawings.lip import lip
from catalogue.common.drawings.side_seams import side_seam


def making_sketch(feature: str, *, words: str = "") -> str:
    """A sketch by a feature's id; empty where words alone must do."""
    return lip(feature, words=words) or base_scar(feature, words=words) or side_seam(feature, words=words)
