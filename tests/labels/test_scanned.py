"""The code of a place's own label, read back."""

import pytest

from catalogue.labels.scanned import place_key_of, place_text
from catalogue.photos.qr_codes import tag_or_number
from catalogue.specimens.number_list import read_numbers


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("PLACE-12", 12),
        (" place 12\n", 12),
        ("http://192.168.1.20:8737/p/12/", 12),
        ("https://bottles.example/p/12", 12),
        ("siltbox.local:8000/p/9/?x=1", 9),
        ("/p/7/", 7),
        (place_text(2**40), 2**40),
        ("P-12", None),  # a field tag may say so
        ("T-65", None),
        ("12", None),
        ("PLACE-0", None),
        ("PLACE-", None),
        ("http://192.168.1.20:8737/f/2026.14.3", None),
        ("http://192.168.1.20:8737/shelves/12/", None),
        ("PLACE-٣", None),
        ("PLACE-" + "9" * 19, None),
        ("PLACE-12 PLACE-13", None),
        ("", None),
    ],
)
def test_what_names_a_place(text, key):
    assert place_key_of(text) == key


def test_it_is_neither_a_tag_nor_the_number_of_a_find():
    for text in (place_text(12), "http://192.168.1.20:8737/p/12/"):
        assert tag_or_number(text) == ""
        assert not read_numbers(text).runs
