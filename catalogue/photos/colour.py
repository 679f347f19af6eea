"""Any kind of pixels to plain sRGB on paper."""

import io
import logging

from PIL import Image, ImageCms

log = logging.getLogger("siltmark.pictures")

# Transparent parts are shown as on a sheet of the catalogue's paper.
PAPER = (251, 248, 241)
SRGB = ImageCms.createProfile("sRGB")


def without_odd_pixels(image: Image.Image) -> Image.Image:
    """Pixels that can be averaged: a palette's numbers and single bits can't, nor a colour meant as clear.

    Cheap for everything else: the same image comes back. Call it before resizing.
    """
    if image.mode in ("P", "PA"):
        return image.convert("RGBA" if image.has_transparency_data else "RGB")
    if image.mode == "1":
        return image.convert("L")
    if image.mode in ("L", "RGB") and "transparency" in image.info:
        return image.convert("RGBA")
    return image


def _in_256_levels(image: Image.Image) -> Image.Image:
    """Grey of 16 bits as it is meant; grey of 32 bits or floating, which never says, darkest to lightest."""
    low, high = (0, 65535) if image.mode.startswith("I;16") else image.getextrema()
    scale = 255 / ((high - low) or 1)
    return image.convert("F").point(lambda level: level * scale - low * scale).convert("L")


def to_srgb(image: Image.Image) -> Image.Image:
    """RGB pixels in sRGB, transparency laid on paper, and nothing else carried along.

    Where they are that already, the same image comes back: a copy would cost as much memory again.
    """
    profile = image.info.get("icc_profile")
    if image.mode in ("RGBA", "LA", "RGBa", "La"):
        image = _on_paper(image)
    if image.mode.startswith(("I", "F")):
        image = _in_256_levels(image)
    if image.mode == "LAB":
        plain = ImageCms.profileToProfile(image, ImageCms.createProfile("LAB"), SRGB, outputMode="RGB")
    else:
        plain = _by_profile(image, profile) or (image if image.mode == "RGB" else image.convert("RGB"))
    plain.info = {}
    return plain


def _on_paper(image: Image.Image) -> Image.Image:
    clear = image.convert("RGBA")
    paper = Image.new("RGBA", clear.size, (*PAPER, 255))
    return Image.alpha_composite(paper, clear).convert("RGB")


def _by_profile(image: Image.Image, profile: bytes | None) -> Image.Image | None:
    """Converted by the picture's own colour profile, or None where there is none that fits its pixels."""
    if not profile:
        return None
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        if image.mode != "CMYK" and "sRGB" in ImageCms.getProfileDescription(source):
            return None
        return ImageCms.profileToProfile(image, source, SRGB, outputMode="RGB")
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError) as error:
        log.info("colour profile passed over: %s", error)
        return None
