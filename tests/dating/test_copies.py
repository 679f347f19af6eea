"""Reproductions: a caution and a question beside the years, and evidence once a tell-tale was seen."""

from typing import Any

import pytest

from dating import Case, Finding, Reference, ReferenceError, assess
from dating.copies import COPIES, copies_of
from dating.library import TABLE_NAMES, load
from dating.looknext import copy_look
from dating.tables import PUBLISHED

from .conftest import Ask

FLASK = {"features": ["figured-flask"]}
COPIED_MARK = "mark-copy,mark of the lighthouse works,liberty-lg,2001,2009,Too sharp,compiler-memory,memory"


def tables(row: str) -> dict[str, str]:
    """The packaged tables, with one row more of copies."""
    texts = {name: PUBLISHED.text(name) for name in TABLE_NAMES}
    return texts | {"reproductions": f"{texts['reproductions'].rstrip()}\n{row}\n"}


@pytest.fixture(scope="module")
def with_mark() -> Reference:
    return load(tables(COPIED_MARK))


def of_mark(ref: Reference, *seen: Any) -> Finding:
    given = {"mark": {"letters": "LG", "right": ""}, "features": list(seen), "this_year": 2026}
    return assess(Case.from_dict(given, ref), ref, look_next=True)


def test_a_copied_form_carries_its_late_period_and_what_gives_it_away(ask: Ask) -> None:
    finding = ask(FLASK)
    copies = {copy.id: copy for copy in finding.copies}
    flask = copies["rep-figured-flask"]
    assert (flask.start, flask.end, flask.years) == (1925, 1990, "1925–1990")
    assert "no wear on the base" in flask.tell_tales
    told = finding.as_dict()["copies"]
    assert isinstance(told, list) and told[0]["from"] == 1925 and "flasks" in told[0]["source"]
    assert told[0]["id"] == "rep-figured-flask"


def test_the_late_period_plays_no_part_until_a_tell_tale_is_seen(ask: Ask) -> None:
    plain = ask(FLASK)
    assert plain.window and plain.window.end and plain.window.end < 1925
    ticked = ask({"features": ["figured-flask", "rep-figured-flask"]})
    assert ticked.window == (1925, 1990) and ticked.words == "about 1925 to 1990"
    assert not ticked.conflicts and not ticked.corrected
    first = next(reason for reason in ticked.because if reason.key == "rep-figured-flask")
    assert first.evidence == "Signs of a later copy: figured flask" and "fakes" in first.source
    copied = next(reason for reason in ticked.because if reason.key == "figured-flask")
    assert "signs of a copy were seen" in copied.why_weight
    assert "rep-figured-flask" not in {copy.id for copy in ticked.copies}


def test_a_doubtful_tell_tale_moves_the_odds_and_leaves_both_periods(ask: Ask) -> None:
    doubtful = ask({"features": ["figured-flask", {"id": "rep-figured-flask", "certainty": "doubtful"}]})
    assert doubtful.window == (1810, 1990)
    late = sum(doubtful.posterior[1925 - doubtful.axis[0] :])
    assert 0.2 < late < 0.95


def test_a_sign_that_the_copy_does_not_explain_disagrees_with_it(ask: Ask) -> None:
    torn = ask({"features": ["figured-flask", "rep-figured-flask", "blowpipe-pontil"]})
    assert torn.window is None
    assert "pontil is misread: 1925–1990" in torn.corrected
    both = ["figured-flask", "rep-figured-flask", "blowpipe-pontil", "rep-scar-added"]
    assert ask({"features": both}).window == (1925, 1990)


def test_two_signs_of_a_copy_are_one_cause(ask: Ask) -> None:
    once = ask({"features": ["figured-flask", "rep-bitters"]})
    twice = ask({"features": ["figured-flask", "rep-bitters", "rep-figured-flask"]})
    assert twice.window == once.window == (1960, 1985)
    assert max(twice.posterior) <= 1.05 * max(once.posterior)


def test_years_written_down_as_known_still_count(ask: Ask) -> None:
    late = {"what": "signs of a copy", "from": 1925, "to": 1990}
    assert "Signs of a copy" in ask(FLASK | {"known": [late]}).corrected


def test_the_tell_tales_are_a_question(ask: Ask) -> None:
    looks = ask({"features": ["marble-stopper"]}, look_next=True).look_next
    asked = next(look for look in looks if look.group == COPIES)
    assert asked.ask.startswith("Look for: still made in Japan") and asked.ask.endswith("?")
    assert asked.features == ("rep-marble",) and asked.bits > 0
    assert asked.words == f"{asked.ask} If so, it was made in 1970 or later."
    # no answer but that one: told already, or nobody can tell
    for more in ({"asked": ["rep-marble"]}, {"features": ["marble-stopper", "rep-marble"]}):
        again = ask({"features": ["marble-stopper"], **more}, look_next=True).look_next
        assert "rep-marble" not in {name for look in again for name in look.features}


def test_a_copy_of_the_same_years_is_no_question(ref: Reference) -> None:
    copy = ref.copies["rep-marble"]
    assert copy_look(copy, (0.5, 0.5, 0.0), (0.5, 0.5, 0.0)).bits == pytest.approx(0, abs=1e-12)
    assert copy_look(copy, (0.5, 0.5, 0.0), (0.0, 0.0, 1.0)).bits > 0.3


def test_nothing_is_asked_of_copies_of_what_was_not_seen(ask: Ask) -> None:
    looks = ask({"features": ["crown-finish"]}, look_next=True).look_next
    assert COPIES not in {look.group for look in looks}


def test_a_mark_that_was_copied_is_cautioned_and_asked_about(ref: Reference, with_mark: Reference) -> None:
    finding = of_mark(with_mark)
    assert [copy.id for copy in finding.copies] == ["mark-copy"]
    assert "mark-copy" in {name for look in finding.look_next for name in look.features}
    assert finding.window == of_mark(ref).window


def test_a_copied_mark_dates_by_the_copy_once_a_tell_tale_is_seen(with_mark: Reference) -> None:
    ticked = of_mark(with_mark, "mark-copy")
    assert ticked.window == (2001, 2009) and not ticked.conflicts
    mark = next(reason for reason in ticked.because if reason.kind == "mark")
    assert "signs of a copy were seen" in mark.why_weight


def test_a_mark_that_was_hardly_read_is_not_cautioned(with_mark: Reference) -> None:
    given = {"mark": {"letters": "BALL"}, "this_year": 2026}
    assert assess(Case.from_dict(given, with_mark), with_mark).copies == ()


def test_what_was_never_copied_says_nothing(ref: Reference) -> None:
    assert copies_of(["crown-finish"], ref) == () == copies_of([], ref)


def test_one_that_is_still_made_says_so(ref: Reference) -> None:
    (stopper,) = copies_of(["marble-stopper"], ref)
    assert stopper.years == "from 1970 to this day" and stopper.made == "in 1970 or later"


@pytest.mark.parametrize(
    ("row", "field"),
    [
        ("a,flask,,1920,1930,look,globerove-flasks,published", "applies_to"),
        ("a,flask,teapot,1920,1930,look,globerove-flasks,published", "applies_to"),
        ("a,flask,figured-flask,,1930,look,globerove-flasks,published", "from"),
        ("a,flask,figured-flask,1940,1930,look,globerove-flasks,published", "to"),
        ("a,flask,figured-flask,1920,1930,,globerove-flasks,published", "tell_tales"),
        ("a,,figured-flask,1920,1930,look,globerove-flasks,published", "copy"),
        ("a,flask,figured-flask,1920,1930,look,nobody,published", "source"),
        ("a,flask,figured-flask,1920,1930,look,globerove-flasks,hearsay", "basis"),
        ("crown-finish,flask,figured-flask,1920,1930,look,globerove-flasks,published", "id"),
    ],
)
def test_a_row_that_may_not_be_used_says_its_field(row: str, field: str) -> None:
    with pytest.raises(ReferenceError) as refused:
        load(tables(row))
    assert refused.value.field == field


def test_no_copy_is_older_than_what_it_copies(ref: Reference) -> None:
    """The late period lies after the feature became usual; by two tables that were gathered apart."""
    assert len(ref.copies) == 24
    for copy in ref.copies.values():
        for name in copy.applies_to:
            usual = ref.features[name].common_from or ref.features[name].earliest
            assert usual is None or copy.start > usual, (copy.id, name)


def test_a_piece_that_is_known_to_be_older_than_its_copies_is_none_of_them(ask: Ask) -> None:
    assert "rep-demijohn" in {copy.id for copy in ask({"features": ["free-blown"]}).copies}
    sealed = {"what": "Lay below stones set in 1691", "to": 1691}
    assert not ask({"features": ["free-blown"], "known": [sealed]}).copies
    doubtful = {**sealed, "certainty": "probable"}
    assert ask({"features": ["free-blown"], "known": [doubtful]}).copies


@pytest.mark.parametrize("plain", ["panel-medicine", "ball-neck-panel", "round-milk"])
def test_a_plain_form_is_not_said_to_have_been_copied(ask: Ask, plain: str) -> None:
    assert not ask({"features": [plain]}).copies
