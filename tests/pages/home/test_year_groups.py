"""The collection by decades, added up from how many pieces are dated alike."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.pages.home.year_groups import AlikeDated, even_shares, year_groups
from catalogue.specimens.stored_answer import middle_year


def alike(*counts: tuple[str, int]) -> list[AlikeDated]:
    return [AlikeDated(spread, False, count) for spread, count in counts]


def told(groups) -> list[tuple[str, str, int, int]]:
    return [(group.caption, group.query, group.most, group.more) for group in groups]


@pytest.mark.parametrize(
    ("spread", "year"),
    [
        ("", None),
        ("1921-1921", 1921),
        ("1890-1922", 1906),
        ("|1926:35|1936:34|1946:31|", 1926),
        ("1840-1871:100 1872-1890:40", 1859),
    ],
)
def test_the_year_that_a_piece_stands_at(spread, year):
    assert middle_year(spread) == year


def test_pieces_stand_by_decade_the_undated_at_the_end():
    found = alike(("", 3), ("1931-1931", 1), ("1921-1925", 2), ("1890-1922", 1))
    assert told(year_groups(found, 60)) == [
        ("1900s", "decade=1900", 1, 0),
        ("1920s", "decade=1920", 2, 0),
        ("1930s", "decade=1930", 1, 0),
        ("not yet dated", "decade=-", 3, 0),
    ]


def test_evidence_that_disagrees_gives_no_decade():
    found = [AlikeDated("1890-1899:100", True, 2), AlikeDated("1890-1899", False, 1)]
    assert [(group.caption, group.count) for group in year_groups(found, 60)] == [
        ("1890s", 1),
        ("years disagree", 2),
    ]


def test_a_few_old_pieces_far_apart_share_a_caption():
    found = alike(("1700-1709", 1), ("1760-1769", 1), ("1850-1859", 1), ("1900-1909", 12), ("1910-1919", 12))
    assert [group.caption for group in year_groups(found, 60)] == ["before 1900", "1900s", "1910s"]
    assert year_groups(found, 60)[0].query == "years_to=1899"
    assert [group.caption for group in year_groups(found[:3], 60)] == ["1700s", "1760s", "1850s"]


def test_a_large_collection_folds_and_small_groups_stay_whole():
    found = alike(("1900-1909", 500), ("1910-1919", 4), ("1920-1929", 90_000), ("", 9_496))
    groups = year_groups(found, 60)
    assert [(group.most, group.more) for group in groups] == [(18, 482), (4, 0), (19, 89_981), (19, 9_477)]
    assert [each.count for group in groups for each in group.shown()] == [18, 4, 19, 19]


@given(st.lists(st.integers(0, 500), max_size=80), st.integers(0, 60))
def test_never_more_are_shown_than_there_is_room_for(sizes, most):
    shares = even_shares(sizes, most)
    assert sum(shares) == min(most, sum(sizes))
    assert all(0 <= share <= size for share, size in zip(shares, sizes, strict=True))


@given(
    st.lists(
        st.tuples(st.integers(1500, 2020), st.integers(0, 90), st.booleans(), st.integers(1, 900)),
        unique_by=lambda row: row[:3],
        max_size=70,
    )
)
def test_no_piece_is_lost_or_shown_twice(rows):
    found = [AlikeDated(f"{first}-{first + span}", conflict, count) for first, span, conflict, count in rows]
    groups = year_groups(found, 60)
    assert sum(group.count for group in groups) == sum(each.count for each in found)
    assert sum(group.most for group in groups) == min(60, sum(each.count for each in found))
    for group in groups:
        assert sum(each.count for each in group.shown()) == group.most
        middles = [middle_year(each.spread) for each in group.alike]
        assert middles == sorted(middles)
