"""What a browser says of itself, in words. Strings shortened from what such browsers send."""

import pytest

from catalogue.access.browsers import in_words

CASES = [
    ("Mozilla/5.0 (X11; Linux x86_64; rv:128.0) Gecko/20100101 Firefox/128.0", "Firefox on Linux"),
    ("Mozilla/5.0 (Windows NT 10.0) Chrome/126.0 Safari/537.36 Edg/126.0", "Edge on Windows"),
    ("Mozilla/5.0 (Linux; Android 14; K) Chrome/126.0 Mobile Safari/537.36", "Chrome on an Android phone"),
    ("Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X) Version/18.0 Safari/604.1", "Safari on iPhone"),
    ("Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X) CriOS/126.0 Safari/604.1", "Chrome on iPhone"),
    ("Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) Version/18.0 Safari/605", "Safari on Mac"),
    ("curl/8.0", "a browser"),
    ("", "a browser"),
]


@pytest.mark.parametrize(("agent", "words"), CASES)
def test_the_kind_of_browser_is_named(agent, words):
    assert in_words(agent) == words
