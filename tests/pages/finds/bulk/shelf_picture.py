"""A shelf of plain bottles, drawn: a pale wall, a board, dark bottles with necks."""

from io import BytesIO

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image, ImageDraw

SIZE = (1400, 600)
BOARD = 520
Box = tuple[int, int, int, int]


def places(count: int) -> list[Box]:
    """Left, top, right, bottom of each bottle in the drawing, from the left."""
    step = SIZE[0] / count
    wide = min(70.0, step * 0.55)
    return [
        (round(step * (n + 0.5) - wide / 2), 210, round(step * (n + 0.5) + wide / 2), BOARD + 12)
        for n in range(count)
    ]


def drawn(count: int, tint: int = 0) -> Image.Image:
    """The picture; another tint is another picture."""
    image = Image.new("RGB", SIZE, (226, 221, 206 - tint))
    pen = ImageDraw.Draw(image)
    pen.rectangle((0, BOARD, SIZE[0], SIZE[1]), fill=(120, 84, 50))
    for left, top, right, bottom in places(count):
        middle, neck = (left + right) / 2, (right - left) * 0.2
        pen.rectangle((left, top + 120, right, bottom), fill=(38, 84, 60))
        pen.polygon(
            [(left, top + 122), (middle - neck, top + 70), (middle + neck, top + 70), (right, top + 122)],
            fill=(38, 84, 60),
        )
        pen.rectangle((middle - neck, top, middle + neck, top + 74), fill=(38, 84, 60))
    return image


def rack(count: int, boards: int) -> SimpleUploadedFile:
    """As many boards one above the other, with as many bottles on each."""
    whole = Image.new("RGB", (SIZE[0], boards * SIZE[1]))
    for n in range(boards):
        whole.paste(drawn(count), (0, n * SIZE[1]))
    kept = BytesIO()
    whole.save(kept, "JPEG", quality=90)
    return SimpleUploadedFile(f"rack-{count}.jpg", kept.getvalue(), content_type="image/jpeg")


def jpeg(count: int, tint: int = 0) -> bytes:
    kept = BytesIO()
    drawn(count, tint).save(kept, "JPEG", quality=90)
    return kept.getvalue()


def shelf_picture(count: int = 4, tint: int = 0) -> SimpleUploadedFile:
    """As a browser sends it."""
    return SimpleUploadedFile(f"shelf-{count}.jpg", jpeg(count, tint), content_type="image/jpeg")
