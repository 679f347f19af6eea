"""What a column of a spreadsheet can tell of a find: kinds of facts, and the headings people give them."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from catalogue.common.quantities import DEPTH, LENGTH, MASS, VOLUME, Quantity
from catalogue.common.text import folded
from catalogue.exchange.takeout.columns import FIND_COLUMNS
from catalogue.specimens.models.words import Colour, Contents, Kind, Lie, Look, Stage, Standing


class CellKind(StrEnum):
    """How the cells of a column are read."""

    TEXT = "text"
    CHOICE = "choice"
    SIZE = "size"
    WHEN = "when"
    YES = "yes"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class SheetField:
    """`key` is the field of `FindRow` where the catalogue writes it out, and of the find where it has one.

    `words`: other headings, folded, parted by commas.
    """

    key: str
    label: str
    reads: CellKind = CellKind.TEXT
    words: str = ""
    longest: int = 200
    choices: Mapping[str, str] | None = None
    also: Mapping[str, str] | None = None
    quantity: Quantity | None = None


NOT_TAKEN, INTO_NOTES = "", "note"


def _choices(kinds: type) -> dict[str, str]:
    return {key: str(label) for key, label in kinds.choices}  # type: ignore[attr-defined]  # of TextChoices


KINDS_ALSO = {
    **dict.fromkeys(("codd", "codd bottle", "seltzer", "siphon", "ginger beer", "mineral water"), "soda"),
    **dict.fromkeys(("ale", "stout", "lager"), "beer"),
    **dict.fromkeys(("gin", "case gin", "spirits", "whisky", "whiskey", "onion"), "case"),
    **dict.fromkeys(("champagne", "port", "claret"), "wine"),
    **dict.fromkeys(("pharmacy", "chemist", "druggist", "cure", "bitters"), "medicine"),
    **dict.fromkeys(("fruit jar", "preserve", "pot", "canning jar"), "jar"),
    **dict.fromkeys(("perfume", "vial", "phial"), "scent"),
    **dict.fromkeys(("hamilton", "round bottom", "torpedo"), "torpedo"),
    **dict.fromkeys(("carboy", "flagon"), "jug"),
    **dict.fromkeys(("sauce", "pickle", "oil"), "cordial"),
}
COLOURS_ALSO = {
    **dict.fromkeys(("clear", "flint", "white", "colorless"), "colourless"),
    **dict.fromkeys(("honey", "honey amber", "dark amber"), "amber"),
    **dict.fromkeys(("olive green", "black glass", "olive amber", "dark olive"), "olive"),
    **dict.fromkeys(("emerald", "dark green", "light green", "teal"), "green"),
    **dict.fromkeys(("cobalt", "dark blue", "sapphire"), "cobalt"),
    **dict.fromkeys(("ice blue", "pale blue", "sky blue"), "blue"),
    **dict.fromkeys(("purple", "sca", "amethyst", "manganese"), "amethyst"),
    **dict.fromkeys(("aquamarine", "light aqua", "deep aqua"), "aqua"),
}
STANDINGS_ALSO = {"free": "free", "in collection": "kept", "keeper": "kept", "broken": "lost", "lost": "lost"}
STAGES_ALSO = {"cleaned": "done", "clean": "done", "finished": "done", "uncleaned": "wet", "dirty": "wet"}
LONG_TEXT = 10_000

SHEET_FIELDS = {
    each.key: each
    for each in (
        SheetField("number", "Number in the catalogue", CellKind.OTHER, "catalogue number,catalog number"),
        SheetField(
            "own_number",
            "Your own number",
            words="no,no.,nr,id,inventory number,inventory no,inv. no.,cat no,cat. no.,item number,#,ref",
        ),
        SheetField("what", "What it is", words="description,name,title,object,bottle,find,what,item name"),
        SheetField(
            "kind",
            "Kind of vessel",
            CellKind.CHOICE,
            "kind,type,category,bottle type,vessel,form,shape",
            choices=_choices(Kind),
            also=KINDS_ALSO,
        ),
        SheetField(
            "contents",
            "What it held",
            CellKind.CHOICE,
            "contents,content,held,use",
            choices=_choices(Contents),
        ),
        SheetField("product", "Product", words="brand,product name,brand name"),
        SheetField("bottler", "Bottler", words="company,firm,merchant,brewery,brewer,druggist,business"),
        SheetField("bottler_town", "Town of the bottler", words="bottler town,bottler's town"),
        SheetField("town", "Town", words="city,place name,town / city,town or city,embossed town"),
        SheetField("town_region", "Region of the town", words="state,county,province,region"),
        SheetField("town_country", "Country of the town", words="country"),
        SheetField("region", "Made or sold in", CellKind.OTHER, "country made,made in country"),
        SheetField(
            "maker",
            "Maker",
            CellKind.OTHER,
            "glassmaker,glassworks,manufacturer,glass maker,made by",
        ),
        SheetField("maker_how", "How the maker is known", CellKind.OTHER),
        SheetField(
            "mark",
            "Maker's mark, letters",
            CellKind.OTHER,
            "mark,base mark,maker's mark,makers mark,marks,base",
        ),
        SheetField(
            "made",
            "Made, as an opinion",
            CellKind.OTHER,
            "made,age,era,period,circa,date made,year made,years,dated,dates,manufactured,year",
        ),
        SheetField(
            "colour",
            "Colour",
            CellKind.CHOICE,
            "color,glass colour,glass color,tint",
            choices=_choices(Colour),
            also=COLOURS_ALSO,
        ),
        SheetField("height_mm", "Height", CellKind.SIZE, "height,tall,h", quantity=LENGTH),
        SheetField(
            "diameter_mm", "Greatest diameter", CellKind.SIZE, "diameter,width,dia,dia.,w", quantity=LENGTH
        ),
        SheetField("base_mm", "Base diameter", CellKind.SIZE, "base diameter,base dia", quantity=LENGTH),
        SheetField("bore_mm", "Bore", CellKind.SIZE, "bore", quantity=LENGTH),
        SheetField("mass_g", "Mass", CellKind.SIZE, "mass,weight,wt", quantity=MASS),
        SheetField("capacity_ml", "Capacity", CellKind.SIZE, "capacity,volume,vol", quantity=VOLUME),
        SheetField(
            "inscriptions",
            "Inscriptions",
            CellKind.OTHER,
            "inscription,embossing,embossed,lettering,text,reads,wording,label",
        ),
        SheetField("readings", "Maker's marks as read", CellKind.OTHER),
        SheetField("marks", "Maker's marks, part by part", CellKind.OTHER),
        SheetField("features", "Signs of its making", CellKind.OTHER, "features"),
        SheetField("opinions", "Opinions", CellKind.OTHER),
        SheetField("site", "Site", words="dive site,location,spot,where found,found at,locality,place found"),
        SheetField("water_body", "Water", words="river,lake,sea,bay,water body,body of water"),
        SheetField("latitude", "Latitude", CellKind.OTHER, "lat,lat."),
        SheetField("longitude", "Longitude", CellKind.OTHER, "long,lon,lng,long."),
        SheetField("position", "Position, both in one", CellKind.OTHER, "position,gps,coordinates,coords"),
        SheetField("uncertainty_m", "Position uncertain by, m", CellKind.OTHER),
        SheetField("dive", "Dive", CellKind.OTHER, "dive number,dive no,dive no."),
        SheetField(
            "dived_on",
            "Came up on",
            CellKind.WHEN,
            "date,date found,found,found on,day,dive date,recovered,date recovered,year found,when",
        ),
        SheetField("recovered_edtf", "Came up about", CellKind.WHEN, "came up about (edtf),came up about"),
        SheetField("where_on_site", "Where on the site", words="where on site"),
        SheetField("depth_m", "Depth", CellKind.SIZE, "depth,depth found", quantity=DEPTH),
        SheetField("lie", "How it lay", CellKind.CHOICE, "lie,lay", choices=_choices(Lie)),
        SheetField("found_with", "Found with", words="associated finds,found beside", longest=500),
        SheetField("look", "Look aimed at", CellKind.CHOICE, choices=_choices(Look)),
        SheetField("stage", "Stage", CellKind.CHOICE, "cleaning", choices=_choices(Stage), also=STAGES_ALSO),
        SheetField(
            "standing",
            "Standing",
            CellKind.CHOICE,
            "status",
            choices=_choices(Standing),
            also=STANDINGS_ALSO,
        ),
        SheetField("free_to_take", "Free to take", CellKind.YES, "free,give away,giveaway"),
        SheetField(
            "shelf",
            "Place where it stands",
            words="place,shelf,storage,box,stored in,where kept,case,cabinet",
            longest=1000,
        ),
        SheetField("shared", "Shared with visitors", CellKind.YES, "shared,public"),
        SheetField("older_numbers", "Older numbers", words="older numbers,old number,former number"),
        SheetField("field_tag", "Field tag", words="tag", longest=40),
        SheetField("story", "Story", words="history,provenance", longest=LONG_TEXT),
        SheetField(
            "notes",
            "Notes",
            words="note,remarks,comments,comment,condition,damage",
            longest=LONG_TEXT,
        ),
        SheetField(
            "pictures",
            "Pictures, by file name",
            CellKind.OTHER,
            "photo,photos,picture,pictures,image,images,file,file name,photo file,image file",
        ),
    )
}
# Worked out by the catalogue, or no facts of the find: never taken in.
WORKED_OUT = frozenset(
    [
        "maker_probability",
        "made",
        "made_edtf",
        "made_from",
        "made_to",
        "made_best",
        "free_to_take",
        "created",
        "changed",
    ]
)


def _known_headings() -> dict[str, str]:
    known: dict[str, str] = {}
    for each in SHEET_FIELDS.values():
        for words in (each.label, *each.words.split(",")):
            if words:
                known.setdefault(folded(words), each.key)
    return known


HEADINGS_KNOWN = _known_headings()
# The headings that the catalogue itself writes.
OWN_HEADINGS = {folded(column.heading): column.name for column in FIND_COLUMNS}
