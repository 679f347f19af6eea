"""The face of headings and numerals: a Latin subset (WOFF2) of an open font, made when the package is built.

The font comes from the Python package `font-source-serif-pro` (SIL Open Font License 1.1). Its name is
reserved, so the subset carries none of it. `setup.py` calls this; by hand `python -m catalogue.common.face`.
"""

from importlib.resources import files
from io import BytesIO
from pathlib import Path
from tempfile import NamedTemporaryFile

FAMILY = "Siltmark"
FACE = "face.woff2"
LICENCE = "face-licence.txt"
# The order of look: what a page loads for its headings stays small.
LARGEST_BYTES = 40_000
# What headings and years are written with: Latin with its accents, dashes and quotes, primes, fractions, the
# minus, multiplication and degree signs.
CHARACTERS = (
    *range(0x20, 0x7F),
    *range(0xA0, 0x180),
    *range(0x2010, 0x2027),
    *(0x2032, 0x2033, 0x20AC, 0x2212, 0x221E, 0x2264, 0x2265),
    *range(0x2153, 0x215F),
)
FEATURES = ["kern", "liga", "lnum", "tnum", "pnum", "mark", "mkmk", "ccmp", "locl"]
# Name records that stay: copyright, licence and its address, and what the file is called.
LEGAL_NAMES = {0, 13, 14}
CALLED = {1: FAMILY, 2: "Regular", 3: FAMILY, 4: FAMILY, 6: FAMILY}


def make_face(folder: Path) -> Path:
    """Write the subset and its licence into `folder`; returns the font's file.

    Raises ModuleNotFoundError where the packages of the build are missing, ValueError where the subset would
    be larger than `LARGEST_BYTES`.
    """
    from fontTools.subset import Options, Subsetter
    from fontTools.ttLib import TTFont

    source = files("font_source_serif_pro") / "files"
    options = Options(
        flavor="woff2", layout_features=FEATURES, name_IDs=["*"], hinting=False, notdef_outline=True
    )
    with (source / "SourceSerifPro-Semibold.ttf").open("rb") as given:
        font = TTFont(given)
        # Packed by one packer, whether HarfBuzz is installed beside it or not: the same bytes everywhere.
        font.cfg["fontTools.ttLib.tables.otBase:USE_HARFBUZZ_REPACKER"] = False
        subset = Subsetter(options)
        subset.populate(unicodes=CHARACTERS)
        subset.subset(font)
        names = font["name"]
        names.names = [record for record in names.names if record.nameID in LEGAL_NAMES]
        for number, words in CALLED.items():
            names.setName(words, number, 3, 1, 0x409)
        # When it was made is no part of it: the same packages give the same bytes.
        font["head"].modified = font["head"].created
        font.recalcTimestamp = False
        font.flavor = "woff2"
        made = BytesIO()
        font.save(made)
    if len(made.getvalue()) > LARGEST_BYTES:
        raise ValueError(
            f"The subset has {len(made.getvalue())} bytes, more than {LARGEST_BYTES}: take characters out."
        )
    put_file(folder / LICENCE, (source / "LICENSE.txt").read_bytes())
    put_file(folder / FACE, made.getvalue())
    return folder / FACE


def put_file(path: Path, content: bytes) -> None:
    """Write a file whole or not at all (atomic rename): two builds at once don't meet half a font."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with NamedTemporaryFile(dir=path.parent, prefix=".", delete=False) as part:
        part.write(content)
    Path(part.name).chmod(0o644)
    Path(part.name).replace(path)


if __name__ == "__main__":
    print(make_face(Path(__file__).resolve().parents[2] / "static" / "common"))
