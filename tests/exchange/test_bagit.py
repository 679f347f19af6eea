"""Tag files against RFC 8493 (sections named beside each); cases after the published conformance rules."""

import pytest

from catalogue.exchange.backup import bagit
from catalogue.exchange.backup.bagit import BagError

DIGEST = "a" * 64


@pytest.mark.parametrize(
    "content",
    [
        b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n",
        b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8",
        b"BagIt-Version: 1.0\r\nTag-File-Character-Encoding: UTF-8\r\n",
    ],
)
def test_a_declaration_of_two_lines_is_taken(content):
    """2.1.1; lines may end in CR, LF or both."""
    bagit.check_declaration(content)


@pytest.mark.parametrize(
    "content",
    [
        # The one that the common tool accepts and the conformance suite calls invalid.
        b"BagIt-Version : 1.0\nTag-File-Character-Encoding: UTF-8\n",
        b"BagIt-Version:1.0\nTag-File-Character-Encoding: UTF-8\n",
        b" BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n",
        # 2.1.1: no byte-order mark.
        b"\xef\xbb\xbfBagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n",
        b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-16\n",
        b"BagIt-Version: 1.0\n",
        b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\nMore: yes\n",
        b"",
    ],
)
def test_any_other_declaration_is_refused(content):
    with pytest.raises(BagError, match=r"bagit.txt is not what the standard asks"):
        bagit.check_declaration(content)


def test_an_older_version_is_named():
    with pytest.raises(BagError, match=r"version 0\.97"):
        bagit.check_declaration(b"BagIt-Version: 0.97\nTag-File-Character-Encoding: UTF-8\n")


def test_what_is_written_is_read_again_also_names_with_line_ends_and_percent():
    """2.1.3: LF, CR and % are percent-encoded in a path, and nothing else is."""
    digests = {"data/a b.jpg": DIGEST, "data/100%.jpg": "b" * 64, "data/é.jpg": "c" * 64}
    text = bagit.manifest(digests)
    assert "data/100%25.jpg" in text
    assert bagit.read_manifest(text.encode(), "m") == digests
    assert bagit.decoded("a%0Ab%0dc%20d") == "a\nb\rc%20d"


def test_a_digest_may_be_written_in_capitals_and_followed_by_several_spaces():
    """2.1.3: one or more linear white space; 2.4 leaves the case open."""
    assert bagit.read_manifest(f"{'A' * 64} \t data/x\n".encode(), "m") == {"data/x": DIGEST}


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (f"{DIGEST}  data/x\n{DIGEST}  data/x\n", "lists data/x twice"),
        (f"{DIGEST}  data/x\n{'b' * 64}  data/x\n", "lists data/x twice"),
        # One file on a system that knows no case, or composes letters.
        (f"{DIGEST}  data/x\n{DIGEST}  data/X\n", "twice"),
        (f"{DIGEST}  data/\u00e9\n{DIGEST}  data/e\u0301\n", "twice"),
        (f"{DIGEST}\n", "line 1 of its m"),
        ("abc  data/x\n", "line 1 of its m"),
        (f"{DIGEST}  ../../README.md\n", "leads out of it"),
        (f"{DIGEST}  /etc/passwd\n", "leads out of it"),
        (f"{DIGEST}  ~/x\n", "leads out of it"),
        (f"{DIGEST}  data/./x\n", "leads out of it"),
        (f"{DIGEST}  data//x\n", "leads out of it"),
        (f"{DIGEST}  data\\x\n", "leads out of it"),
        (f"{DIGEST}  C:/x\n", "leads out of it"),
        (f"{DIGEST}  data/x%0A\n", "leads out of it"),
        (f"{DIGEST}  data/{'x' * 2000}\n", "leads out of it"),
    ],
)
def test_a_manifest_that_lists_twice_or_leads_out_is_refused(lines, said):
    with pytest.raises(BagError, match=said):
        bagit.read_manifest(lines.encode(), "m")


def test_a_manifest_that_is_not_utf_8_is_refused():
    with pytest.raises(BagError, match="not text in UTF-8"):
        bagit.read_manifest(f"{DIGEST}  data/".encode() + b"\xff\n", "m")


def test_the_info_is_read_with_lines_that_go_on():
    """2.2.2: a line that begins with white space continues the value before."""
    found = bagit.read_info(b"Bagging-Date: 2026-11-29\nExternal-Description: one\n  and more\n")
    assert found == {"Bagging-Date": "2026-11-29", "External-Description": "one and more"}
    assert bagit.info([("Label", "two\nlines")]) == "Label: two lines\n"


def test_the_oxum_is_octets_and_count():
    """2.2.2: octet count, a point, number of payload files."""
    assert bagit.payload_oxum([279164409198, 1]) == "279164409199.2"
