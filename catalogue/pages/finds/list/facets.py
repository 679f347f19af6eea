"""The ways a list of finds can be narrowed, in the order in which they are offered."""

from catalogue.shelves.models import Place
from catalogue.sites.models import Site
from catalogue.specimens.models import Bottler, Maker, Product, Specimen, Town

from .facet import Facet, WordFacet
from .flag_facets import HazardFacet, LacksFacet, MatchFacet, PictureFacet, SharedFacet
from .row_facets import DiveFacet, RowFacet, SiteFacet
from .year_facets import DecadeFacet, RecoveryFacet

FACETS: tuple[Facet, ...] = (
    RowFacet("town", "Town", "town_id", "no town", model=Town, named=("name", "region"), one="town"),
    RowFacet("maker", "Maker", "maker_id", "no maker", model=Maker, one="maker"),
    RowFacet(
        "bottler",
        "Bottler",
        "bottler_id",
        "no bottler",
        model=Bottler,
        named=("name", "town__name"),
        one="bottler",
    ),
    RowFacet(
        "product",
        "Product",
        "product_id",
        "no product",
        model=Product,
        named=("name", "bottler__name"),
        one="product",
    ),
    DecadeFacet("decade", "Decade made", "made_decades", "not yet dated"),
    SiteFacet("site", "Site", "where_site", "no site", model=Site),
    DiveFacet("dive", "Dive", "dive_id", "no dive"),
    RecoveryFacet("came_up", "Year it came up", "came_up", "not known when"),
    WordFacet("stage", "Stage", "stage", words=tuple(Specimen.Stage.choices)),
    WordFacet("standing", "Standing", "standing", words=tuple(Specimen.Standing.choices)),
    WordFacet("kind", "Kind of vessel", "kind", words=tuple(Specimen.Kind.choices)),
    WordFacet("contents", "What it held", "contents", words=tuple(Specimen.Contents.choices)),
    WordFacet("colour", "Colour", "colour", words=tuple(Specimen.Colour.choices)),
    HazardFacet("hazard", "Hazards", "care_flags", "none known"),
    RowFacet("place", "Place", "place_id", "no place", model=Place, by="pk", named=("path",)),
    PictureFacet(
        "picture", "Pictures", "pictured", words=(("yes", "with a picture"), ("no", "no picture yet"))
    ),
    MatchFacet("match", "Matches", "twin_group_id", words=(("yes", "has a match"), ("no", "stands alone"))),
    SharedFacet(
        "shared", "Visitors", "is_shared", words=(("yes", "shared with visitors"), ("no", "not shared"))
    ),
    LacksFacet("lacks", "What is missing", "lacking"),
)
# Of these the chips stand behind one.
SELDOM = frozenset({"product", "dive", "came_up", "match", "shared", "lacks"})

# How finds spread over the years: not offered as choices, the year ruler of the list is added up from it.
SPREAD = Facet("years", "Made", "made_spread")
