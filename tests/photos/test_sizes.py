"""The smaller copies: the right way up, in the right colours, without a trace of the camera."""

import io

import pytest
from PIL import Image, ImageCms
from PIL.PngImagePlugin import PngInfo

from catalogue.photos import files
from catalogue.photos.decoding import shown_size
from catalogue.photos.files import SIZES_PX
from catalogue.photos.services import take_in
from tests.photos.drawn import GPS, encoded, exif, picture, upload

DARK_RED, PALE_GREEN = (150, 20, 20), (180, 230, 190)


def taken(find, content: bytes, size: str = "large") -> tuple:
    photo = take_in(upload(content), subject=find)
    with Image.open(files.size(photo.sha256, size)) as made:
        made.load()
        return photo, made.copy()


def close(pixel: tuple, expected: tuple, within: int = 12) -> bool:
    return all(abs(a - b) <= within for a, b in zip(pixel, expected, strict=True))


XMP = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:li>Lantern Cove</rdf:li></x:xmpmeta>'


def loaded_with_notes(kind: str) -> bytes:
    options = {"exif": exif(gps=GPS, taken="2024:08:14 10:21:07", orientation=1).tobytes()}
    if kind == "PNG":
        options["pnginfo"] = PngInfo()
        options["pnginfo"].add_text("Comment", "Lantern Cove")
        options["pnginfo"].add_itxt("XML:com.adobe.xmp", XMP.decode())
    elif kind == "JPEG":
        options |= {"xmp": XMP, "comment": b"Lantern Cove"}
    elif kind == "WEBP":
        options["xmp"] = XMP
    return encoded(picture(), kind, **options)


TRACES = (b"Exif", b"http://ns.adobe.com/xap", b"Quillon", b"Lantern", b"2024:08", b"ICC_PROFILE")


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "HEIF", "TIFF"])
def test_nothing_of_the_camera_is_left(find, kind):
    content = loaded_with_notes(kind)
    photo = take_in(upload(content), subject=find)
    assert photo.camera == "Quillon Reef 2"  # it was there to be lost
    assert photo.position is not None
    for name in SIZES_PX:
        path = files.size(photo.sha256, name)
        raw = path.read_bytes()
        assert not [trace for trace in TRACES if trace in raw]
        with Image.open(path) as made:
            assert not made.getexif()
            assert not made.getexif().get_ifd(0x8825)
            assert not {"exif", "comment", "xmp"} & set(made.info)


# What each orientation tag means for where the dark red left half of the picture comes to lie.
SIDES = {1: "left", 2: "right", 3: "right", 4: "left", 5: "top", 6: "top", 7: "bottom", 8: "bottom"}


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF"])
@pytest.mark.parametrize("tag", SIDES)
def test_every_orientation_is_turned_once(find, kind, tag):
    photo, made = taken(find, encoded(picture(), kind, exif=exif(orientation=tag)))
    side = SIDES[tag]
    assert made.size == (photo.width, photo.height) == size_at(side)
    assert is_red_at(made, side)


def size_at(side: str) -> tuple[int, int]:
    return (200, 400) if side in ("top", "bottom") else (400, 200)


def is_red_at(made: Image.Image, side: str) -> bool:
    width, height = made.size
    at = {
        "left": (width // 8, height // 2 + 30),
        "right": (width - width // 8, height // 2 + 30),
        "top": (width // 2 + 30, height // 8),
        "bottom": (width // 2 + 30, height - height // 8),
    }
    return close(made.getpixel(at[side]), DARK_RED, 30)


@pytest.mark.parametrize("tag", SIDES)
def test_heic_is_not_turned_twice(find, tag):
    """A phone's HEIC says how it lies twice, for itself (irot, imir) and in EXIF; only the first counts."""
    content = encoded(picture(), "HEIF", exif=exif(orientation=tag).tobytes(), quality=95)
    assert (b"irot" in content or b"imir" in content) == (tag != 1)
    photo, made = taken(find, content)
    side = SIDES[tag]
    assert made.size == (photo.width, photo.height) == size_at(side)
    assert is_red_at(made, side)


def test_heic_is_not_turned_by_exif_alone(find):
    """As the HEIF standard has it: without irot the picture is the right way up."""
    content = encoded(picture(), "HEIF", exif=exif(orientation=6), quality=95)
    assert b"irot" not in content
    photo, made = taken(find, content)
    assert made.size == (photo.width, photo.height) == (400, 200)


@pytest.mark.parametrize("mode", ["L", "1", "P", "RGBA", "LA", "PA", "I;16"])
def test_odd_pixels_of_a_png(find, mode):
    if mode == "I;16":
        image = picture(mode="L").convert("I").point(lambda level: level * 257).convert("I;16")
    elif mode == "PA":
        image = picture(mode="RGBA").quantize()
    else:
        image = picture(mode=mode)
    _, made = taken(find, encoded(image, "PNG"))
    grey = {"L", "1", "LA", "I;16"}
    right = made.getpixel((330, 40))
    assert made.mode == "RGB"
    if mode == "1":
        # Dots: dark and pale halves differ by how many there are.
        grey_of = made.convert("L").resize((2, 1), Image.Resampling.BOX)
        assert grey_of.getpixel((1, 0)) > grey_of.getpixel((0, 0)) + 90
    elif mode in grey:
        assert close(right, (picture(mode="L").getpixel((330, 40)),) * 3)
    else:
        assert close(right, PALE_GREEN)


@pytest.mark.parametrize("mode", ["L", "1", "P", "RGBA", "I;16"])
def test_large_ones_shrink_in_every_mode(find, mode):
    image = picture(4000, 1000, "L" if mode == "I;16" else mode)
    if mode == "I;16":
        image = image.convert("I").point(lambda level: level * 257).convert(mode)
    _, made = taken(find, encoded(image, "PNG", compress_level=1))
    assert made.size == (1800, 450)
    left, right = (made.convert("L").getpixel((x, 225 + 100)) for x in (300, 1500))
    if mode != "1":
        assert abs(left - picture(mode="L").getpixel((60, 150))) < 8
        assert abs(right - picture(mode="L").getpixel((330, 40))) < 8


def test_transparent_parts_lie_on_paper(find):
    image = picture(mode="RGBA")
    image.putalpha(Image.new("L", image.size, 0))
    _, made = taken(find, encoded(image, "PNG"))
    assert close(made.getpixel((100, 150)), (251, 248, 241), 3)


def test_a_colour_named_transparent_lies_on_paper(find):
    _, made = taken(find, encoded(picture(), "PNG", transparency=DARK_RED))
    assert close(made.getpixel((50, 150)), (251, 248, 241), 6)


@pytest.mark.parametrize("kind", ["JPEG", "TIFF"])
def test_print_colours(find, kind):
    _, made = taken(find, encoded(picture(mode="CMYK"), kind))
    assert close(made.getpixel((330, 40)), PALE_GREEN, 20)


def test_first_frame_of_an_animation(find):
    frames = [picture(tint=0), picture(tint=90)]
    for kind in ("PNG", "WEBP"):
        content = encoded(frames[0], kind, save_all=True, append_images=frames[1:], duration=100)
        _, made = taken(find, content)
        assert close(made.getpixel((330, 40)), PALE_GREEN)


@pytest.mark.parametrize("mode", ["F", "I", "LAB"])
def test_odd_pixels_of_a_tiff(find, mode):
    image = picture(mode="L").convert(mode) if mode != "LAB" else in_lab(picture())
    _, made = taken(find, encoded(image, "TIFF"))
    left, right = made.getpixel((60, 150)), made.getpixel((330, 40))
    assert sum(right) > sum(left) + 200
    if mode == "LAB":
        assert close(right, PALE_GREEN, 15)


def in_lab(image: Image.Image) -> Image.Image:
    srgb, lab = ImageCms.createProfile("sRGB"), ImageCms.createProfile("LAB")
    return ImageCms.profileToProfile(image, srgb, lab, outputMode="LAB")


def test_colour_profile_is_converted(find):
    """A profile with red and green swapped: only a reader of it shows the right colours."""
    profile = swapped_profile()
    red, green, blue = picture().split()
    swapped = Image.merge("RGB", (green, red, blue))
    _, made = taken(find, encoded(swapped, "JPEG", icc_profile=profile, quality=95))
    assert close(made.getpixel((330, 40)), PALE_GREEN, 20)


def swapped_profile() -> bytes:
    """sRGB's own profile with its red and green columns exchanged, and a name that does not say sRGB."""
    raw = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    count = int.from_bytes(raw[128:132], "big")
    entries = {bytes(raw[at : at + 4]): at for at in range(132, 132 + 12 * count, 12)}
    red, green = entries[b"rXYZ"], entries[b"gXYZ"]
    raw[red : red + 4], raw[green : green + 4] = b"gXYZ", b"rXYZ"
    return bytes(raw).replace("sRGB".encode("utf-16-be"), "Swap".encode("utf-16-be"))


def test_a_broken_colour_profile_is_passed_over(find):
    _, made = taken(find, encoded(picture(), "JPEG", icc_profile=b"no profile at all" * 20))
    assert close(made.getpixel((330, 40)), PALE_GREEN)


@pytest.mark.parametrize("size", [(4032, 3024), (3024, 4032), (1800, 10), (100_000, 1), (37, 5)])
def test_the_stated_size_is_the_made_size(size):
    image = Image.new("L", size)
    for name, longest in SIZES_PX.items():
        small = image.copy()
        small.thumbnail((longest, longest))
        stated = shown_size(*size, name)
        assert abs(stated[0] - small.width) <= 1 and abs(stated[1] - small.height) <= 1


def test_phone_picture_of_several_is_a_jpeg(find):
    out = io.BytesIO()
    picture().save(out, "MPO", save_all=True, append_images=[picture(tint=40)])
    photo, made = taken(find, out.getvalue())
    assert photo.format == "JPEG"
    assert close(made.getpixel((330, 40)), PALE_GREEN)
