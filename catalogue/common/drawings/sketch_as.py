"""Sketches that serve several rows: a regional variant looks like the row that it stands in for."""

from collections.abc import Mapping
from types import MappingProxyType

_ROWS = {
    "machine-seam-over-finish": ("uk", "fr", "de", "se", "jp", "au"),
    "suction-scar": ("uk", "de", "nl", "ca", "jp"),
    "crown-finish": ("uk", "de", "jp", "se"),
}
_SHORT = {"machine-seam-over-finish": "machine-seam"}

SKETCH_AS: Mapping[str, str] = MappingProxyType(
    {
        **{f"{_SHORT.get(row, row)}-{region}": row for row, regions in _ROWS.items() for region in regions},
        "three-piece-mould-fr": "three-piece-mould",
        "mouth-blown-seam-uk": "seam-stops-below-finish",
        "mouth-blown-seam-nl": "seam-stops-below-finish",
        "mouth-blown-seam-fr": "seam-stops-below-finish",
        "mouth-blown-seam-de": "seam-stops-below-finish",
        "snap-case-base-uk": "snap-case-base",
        "snap-case-base-de": "snap-case-base",
        "mouth-blown-beer-jp": "seam-stops-below-finish",
        "sterilised-milk-uk": "crown-finish",
        "disc-milk-uk": "capseat-milk",
        "marble-stopper-jp": "marble-stopper",
        "applied-finish-au": "applied-finish",
        "knoppol-se": "applied-finish",
        "wine-screwcap-au": "wine-screwcap",
    }
)
