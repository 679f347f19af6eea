"""Tags read in pictures of 12 megapixels: small in the picture, blurred, or not there."""

import pytest
from PIL import Image, ImageFilter

from catalogue.photos import files
from catalogue.photos.models import CardPicture
from catalogue.photos.qr_codes import CodesSeen, codes_of_file
from catalogue.photos.services.cards import put_on_card, read_codes
from tests.factories import dive
from tests.photos.card_shots import printed
from tests.photos.drawn import encoded, upload

WIDE, HIGH = 4000, 3000


@pytest.fixture(scope="module")
def tag() -> Image.Image:
    return printed(["T-65"])[0].convert("RGB")


def scene(tag: Image.Image | None, *, width: int = 0, blur: float = 0) -> bytes:
    """A quay in 12 megapixels with a tag lying on it aslant, so many pixels wide."""
    ground = Image.effect_noise((500, 375), 40).resize((WIDE, HIGH), Image.Resampling.BICUBIC).convert("RGB")
    if tag is not None:
        paper = tag.resize((width, round(width * tag.height / tag.width)), Image.Resampling.LANCZOS)
        paper = paper.rotate(8, Image.Resampling.BICUBIC, expand=True, fillcolor=(250, 250, 250))
        if blur:
            paper = paper.filter(ImageFilter.GaussianBlur(blur))
        ground.paste(paper, (1700, 1200))
    return encoded(ground, quality=90)


@pytest.mark.parametrize(("width", "blur"), [(600, 0), (160, 0), (160, 1), (400, 3), (600, 5)])
def test_a_small_or_blurred_tag_is_read_on_the_card(data_folder, db, tag, width, blur):
    """160 pixels are a twenty-fifth of the width: 70 in the large copy, three to a module at most."""
    picture = put_on_card(upload(scene(tag, width=width, blur=blur)), dive())
    assert picture is not None and picture.codes == "T-65" and picture.role == "tag"


def test_the_copy_alone_does_not_show_the_smallest(data_folder, db, tag):
    """What looking at the original is for: without it this tag would be missed."""
    picture = put_on_card(upload(scene(tag, width=160)), dive())
    large = files.size(picture.sha256, "large")
    assert codes_of_file(large).codes == ()
    assert codes_of_file(large, files.original(picture.sha256, "JPEG")).codes == ("T-65",)


def test_no_tag_where_there_is_none(data_folder, db):
    assert put_on_card(upload(scene(None)), dive()).codes == ""
    assert not CardPicture.objects.get().unread


def test_a_small_picture_is_not_opened_twice(tmp_path, tag):
    copy = tmp_path / "copy.jpg"
    copy.write_bytes(encoded(tag.resize((300, 174)).filter(ImageFilter.GaussianBlur(9))))
    assert codes_of_file(copy, tmp_path / "there is no such original.jpg") == CodesSeen()


def test_a_lost_original_is_only_not_looked_at(data_folder, db):
    picture = put_on_card(upload(scene(None)), dive())
    files.original(picture.sha256, "JPEG").unlink()
    assert read_codes(picture.sha256, "JPEG") == CodesSeen()
