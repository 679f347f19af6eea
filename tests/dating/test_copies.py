"""Reproductions: a caution beside the years, never part of them."""

import pytest

from dating import Reference, ReferenceError
from dating.copies import copies_of, known_copies, load_copies

from .conftest import Ask

HEAD = "id,applies_to,from,to,tell_tales,source,basis\n"


def test_a_copied_form_carries_its_late_period_and_what_gives_it_away(ask: Ask) -> None:
    finding = ask({"features": ["figured-flask"]})
    copies = {copy.id: copy for copy in finding.copies}
    flask = copies["rep-figured-flask"]
    assert (flask.start, flask.end, flask.years) == (1925, 1990, "1925–1990")
    assert "no wear on the base" in flask.tell_tales
    told = finding.as_dict()["copies"]
    assert isinstance(told, list) and told[0]["from"] == 1925 and "flasks" in told[0]["source"]


def test_the_late_period_enters_the_years_only_where_it_is_known(ask: Ask) -> None:
    seen = {"features": ["figured-flask"]}
    plain = ask(seen)
    assert plain.window is None or plain.window.end is None or plain.window.end < 1925
    late = {"what": "signs of a copy", "from": 1925, "to": 1990}
    assert "Signs of a copy" in ask(seen | {"known": [late]}).corrected


def test_what_was_never_copied_says_nothing() -> None:
    assert copies_of(["crown-finish"]) == () == copies_of([])


def test_one_that_is_still_made_says_so() -> None:
    (stopper,) = copies_of(["marble-stopper"])
    assert stopper.years == "from 1970 to this day"


@pytest.mark.parametrize(
    ("row", "field"),
    [
        ("a,,1920,1930,look,globerove-flasks,published", "applies_to"),
        ("a,teapot,1920,1930,look,globerove-flasks,published", "applies_to"),
        ("a,figured-flask,,1930,look,globerove-flasks,published", "from"),
        ("a,figured-flask,1940,1930,look,globerove-flasks,published", "to"),
        ("a,figured-flask,1920,1930,,globerove-flasks,published", "tell_tales"),
        ("a,figured-flask,1920,1930,look,nobody,published", "source"),
        ("a,figured-flask,1920,1930,look,globerove-flasks,hearsay", "basis"),
    ],
)
def test_a_row_that_may_not_be_used_says_its_field(ref: Reference, row: str, field: str) -> None:
    with pytest.raises(ReferenceError) as refused:
        load_copies(HEAD + row + "\n", ref)
    assert refused.value.field == field


def test_no_copy_is_older_than_what_it_copies(ref: Reference) -> None:
    """The late period lies after the feature became usual; by two tables that were gathered apart."""
    assert len(known_copies()) == 24
    for copy in known_copies():
        for name in copy.applies_to:
            usual = ref.features[name].common_from or ref.features[name].earliest
            assert usual is None or copy.start > usual, (copy.id, name)
