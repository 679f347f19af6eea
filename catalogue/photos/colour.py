"""Any kind of pixels to plain sRGB on paper."""

import io
import logging

from PIL import Image, ImageCms

log = logging.getLogger("siltmark.pictures")

# Transparent parts are shown as on a sheet of the catalogue's paper.
PAPER = (251, 248, 241)
SRGB = ImageCms.createProfile("sRGB")


def without_odd_pixels(image: Image.Image) -> Image.Image:
    """Palette, 1-bit, 16-bit, 32-bit and floating pixels to ones that can be made smaller smoothly.

    Cheap for everything else: the same image comes back. Call it before resizing.
    """
    if image.mode in ("RGB", "L", "CMYK", "YCbCr", "RGBA", "LA", "LAB", "RGBa", "La"):
        if "transparency" in image.info and image.mode in ("RGB", "L"):
            return image.convert("RGBA")
        return image
    if image.mode in ("P", "PA"):
        return image.convert("RGBA" if image.has_transparency_data else "RGB")
    if image.mode.startswith("I;16"):
        return image.convert("I").point(lambda level: level * (1 / 256)).convert("L")
    if image.mode in ("I", "F"):
        return _stretched(image)
    return image.convert("RGB")


def _stretched(image: Image.Image) -> Image.Image:
    """Darkest to black, lightest to white: such files do not say what their figures mean."""
    low, high = image.getextrema()
    span = (high - low) or 1
    return image.convert("F").point(lambda level: level * (255 / span) - low * 255 / span).convert("L")


def to_srgb(image: Image.Image) -> Image.Image:
    """RGB pixels in sRGB, transparency laid on paper, and nothing else carried along."""
    profile = image.info.get("icc_profile")
    if image.mode in ("RGBA", "LA", "RGBa", "La"):
        image = _on_paper(image)
    if image.mode == "LAB":
        plain = ImageCms.profileToProfile(image, ImageCms.createProfile("LAB"), SRGB, outputMode="RGB")
    else:
        plain = _by_profile(image, profile) or image.convert("RGB")
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
