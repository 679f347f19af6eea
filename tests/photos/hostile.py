"""Files that a picture field may be sent, by name: broken, misnamed, oversized, odd.

Each is a function so that nothing large is drawn before its test runs.
"""

import io
import struct
import zipfile
import zlib
from collections.abc import Callable
from functools import cache

from PIL import Image
from PIL.PngImagePlugin import PngInfo

from tests.photos.drawn import GPS, encoded, exif, picture

Maker = Callable[[], bytes]
TENTHS = range(1, 10)
KINDS = ("JPEG", "PNG", "WEBP", "TIFF", "HEIF")


def chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def png(width: int, height: int, data: bytes, *, bits: int = 8, colour: int = 2, extra: bytes = b"") -> bytes:
    """A PNG with whatever header is asked for around compressed `data`."""
    header = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, bits, colour, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + header + extra + chunk(b"IDAT", zlib.compress(data)) + chunk(b"IEND", b"")


def png_of_many_rows(width: int, height: int) -> bytes:
    """A grey-green PNG of any size; its rows are packed one after the other, never all held."""
    packer, row = zlib.compressobj(1), b"\0" + b"\x60\x80\x70" * width
    data = b"".join(packer.compress(row) for _ in range(height)) + packer.flush()
    header = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + header + chunk(b"IDAT", data) + chunk(b"IEND", b"")


def jpeg_saying(width: int, height: int) -> bytes:
    """A small JPEG whose header claims another size."""
    raw = bytearray(encoded(picture()))
    at = raw.index(b"\xff\xc0") + 5
    raw[at : at + 4] = struct.pack(">HH", height, width)
    return bytes(raw)


def box(name: bytes, *parts: bytes) -> bytes:
    data = b"".join(parts)
    return struct.pack(">I", len(data) + 8) + name + data


def heic_without_picture() -> bytes:
    """The boxes of a HEIC with an empty list of items."""
    kind = box(b"ftyp", b"heic\0\0\0\0mif1heic")
    handler = box(b"hdlr", b"\0" * 8 + b"pict" + b"\0" * 13)
    return kind + box(b"meta", b"\0" * 4, handler, box(b"pitm", b"\0" * 4 + b"\0\1"), box(b"iinf", b"\0" * 6))


def zipped(first: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("start.js", "alert(1)")
    return first + out.getvalue()


def with_text(key: str, value: str, *, packed: bool = False) -> bytes:
    info = PngInfo()
    info.add_text(key, value, zip=packed)
    return encoded(picture(), "PNG", pnginfo=info)


def broken_exif(content: bytes) -> bytes:
    """A JPEG with `content` as its EXIF block."""
    raw = encoded(picture())
    block = b"Exif\0\0" + content
    return raw[:2] + b"\xff\xe1" + struct.pack(">H", len(block) + 2) + block + raw[2:]


@cache
def noise(kind: str) -> bytes:
    """A picture of which a tenth of the file is about a tenth of what is seen."""
    return encoded(Image.effect_noise((400, 300), 60).convert("RGB"), kind)


def cut(kind: str, tenth: int) -> Maker:
    def make() -> bytes:
        return noise(kind)[: len(noise(kind)) * tenth // 10]

    return make


SVG = b'<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'
HTML = b"<!doctype html><script>alert(1)</script>"
EPS = b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 10 10\n(/etc/passwd) (r) file\nshowpage\n"
# One tag, the pointer to the block of details, pointing back at the block it stands in.
ROUND_AND_ROUND = b"II*\0\x08\0\0\0\1\0\x69\x87\4\0\1\0\0\0\x08\0\0\0\0\0\0\0"

REFUSED: dict[str, Maker] = {
    **{f"{kind}, {tenth} tenths of it": cut(kind, tenth) for kind in KINDS for tenth in TENTHS},
    "nothing at all": lambda: b"",
    "one zero byte": lambda: b"\0",
    "a kilobyte of zeros": lambda: b"\0" * 1024,
    "text": lambda: b"Lantern Cove, three bottles\n" * 40,
    "SVG": lambda: SVG,
    "SVG behind a mark of byte order": lambda: b"\xef\xbb\xbf  " + SVG,
    "HTML": lambda: HTML,
    "HTML behind the first bytes of a JPEG": lambda: b"\xff\xd8\xff\xe0" + HTML,
    "GIF": lambda: encoded(picture(), "GIF"),
    "GIF that is a script": lambda: b"GIF89a/*" + b"\0" * 20 + b"*/=1;alert(1)",
    "BMP": lambda: encoded(picture(), "BMP"),
    "PSD": lambda: b"8BPS\0\1" + b"\0" * 200,
    "EPS, which Pillow would hand to another program": lambda: EPS,
    "PDF": lambda: b"%PDF-1.7\n1 0 obj<<>>endobj\ntrailer<<>>\n%%EOF",
    "film": lambda: box(b"ftyp", b"isom\0\0\2\0isommp41") + box(b"mdat", b"\0" * 400),
    "zip": lambda: zipped(b""),
    "program": lambda: b"MZ" + b"\x90" * 500,
    "first bytes of a PNG only": lambda: b"\x89PNG\r\n\x1a\n",
    "PNG header of 300 megapixels": lambda: png(20_000, 15_000, b""),
    "PNG header of 100 megapixels, more than fits in memory": lambda: png(10_000, 10_000, b""),
    "PNG of 300 megapixels in 37 kB": lambda: png(20_000, 15_000, bytes(37_515_000), bits=1, colour=0),
    "PNG with four thousand million columns": lambda: png(2**31 - 1, 2**31 - 1, b""),
    "PNG with no columns": lambda: png(0, 10, b""),
    "PNG with too little in it": lambda: png(400, 400, b"\0" * 1000),
    "PNG whose notes unpack to 9 MB": lambda: with_text("Comment", "x" * 9_000_000, packed=True),
    "JPEG that claims 65,000 × 65,000": lambda: jpeg_saying(65_000, 65_000),
    "JPEG that claims no rows": lambda: jpeg_saying(400, 0),
    "HEIC without a picture": heic_without_picture,
    "HEIC of nothing but its first box": lambda: box(b"ftyp", b"heic\0\0\0\0mif1heic"),
    "WebP without a picture": lambda: b"RIFF\x04\0\0\0WEBP",
    "TIFF whose first page is nowhere": lambda: b"II*\0\xff\xff\xff\x7f",
    "TIFF whose page list goes round": lambda: b"II*\0\x08\0\0\0\0\0\x08\0\0\0",
}

TAKEN: dict[str, Maker] = {
    "JPEG in print colours": lambda: encoded(picture(mode="CMYK")),
    "grey JPEG": lambda: encoded(picture(mode="L")),
    # Ends as a JPEG should: its decoder fills the rows that never came with grey.
    "JPEG that claims more rows than it has": lambda: jpeg_saying(400, 4000),
    "progressive JPEG": lambda: encoded(picture(), progressive=True),
    "16-bit PNG": lambda: png(20, 20, (b"\0" + b"\x80\x10" * 20) * 20, bits=16, colour=0),
    "16-bit PNG in colour": lambda: png(20, 20, (b"\0" + b"\x80\x10" * 60) * 20, bits=16, colour=2),
    "1-bit PNG": lambda: encoded(picture(mode="1"), "PNG"),
    "palette PNG": lambda: encoded(picture(mode="P"), "PNG"),
    "moving PNG": lambda: encoded(picture(), "PNG", save_all=True, append_images=[picture(tint=50)]),
    "moving WebP": lambda: encoded(picture(), "WEBP", save_all=True, append_images=[picture(tint=50)]),
    "TIFF of two pages": lambda: encoded(picture(), "TIFF", save_all=True, append_images=[picture(tint=9)]),
    "packed TIFF": lambda: encoded(picture(), "TIFF", compression="tiff_lzw"),
    "PNG of 100,000 × 1": lambda: encoded(Image.new("L", (100_000, 1), 90), "PNG"),
    "PNG of 1 × 100,000": lambda: encoded(Image.new("L", (1, 100_000), 90), "PNG"),
    "one pixel": lambda: encoded(picture(1, 1)),
    "JPEG and zip in one": lambda: zipped(encoded(picture())),
    "JPEG with a page behind it": lambda: encoded(picture()) + HTML,
    "JPEG with a script in its comment": lambda: encoded(picture(), comment=HTML),
    "PNG with a page in its notes": lambda: with_text("Comment", HTML.decode()),
    "EXIF that is rubbish": lambda: broken_exif(b"\xff" * 300),
    "EXIF cut short": lambda: broken_exif(exif(gps=GPS).tobytes()[6:60]),
    "EXIF of nothing": lambda: broken_exif(b""),
    "EXIF that points at itself": lambda: broken_exif(ROUND_AND_ROUND),
    "EXIF of 1970": lambda: encoded(picture(), exif=exif(taken="1970:01:01 00:00:00")),
    "EXIF of 2100": lambda: encoded(picture(), exif=exif(taken="2100:01:01 00:00:00")),
    "position at 91°": lambda: encoded(picture(), exif=exif(gps={**GPS, 2: (91.0, 0.0, 0.0)})),
    "orientation 99": lambda: encoded(picture(), exif=exif(orientation=99)),
    "camera with markup in its name": lambda: encoded(picture(), exif=exif(model="<script>alert(1)")),
    "HEIC": lambda: encoded(picture(), "HEIF"),
}
