"""Which years a maker's codes allow, and which of them a piece is of: the gaps of a series."""

import dating
from catalogue.pages.makers.year_grid import year_grid, years_allowed
from dating.codes import DateCode


def code(**given) -> DateCode:
    words = dict.fromkeys(("contents", "bottler", "product", "region", "works", "table", "example"), "")
    words |= {"source": "own", "locator": "", "basis": "published", "note": "", "position": "right"}
    years = {"valid_from": 1922, "valid_to": 1950}
    return DateCode(**(words | years | {"id": "c", "mark_ids": (), "kind": "last-digit"} | given))


def test_pieces_of_a_year_those_that_may_be_of_it_and_gaps():
    grid = year_grid(
        range(1922, 1932),
        {"1924-1924": 2, "|1926:50|1936:50|": 1, "|1924:50|1934:50|": 3, "1922-1950": 9, "": 4},
    )
    cells = {cell.year: cell for _, row in grid.rows for cell in row if cell}
    assert [decade for decade, _ in grid.rows] == [1920, 1930]
    assert [cell is None for cell in grid.rows[0][1]] == [True, True] + [False] * 8
    assert (cells[1924].state, cells[1924].words) == ("held", "1924: 2 pieces, 3 more may be of it")
    assert (cells[1926].state, cells[1926].words) == ("maybe", "1926: 1 may be of it")
    assert (cells[1925].state, cells[1925].words) == ("missing", "1925: none")
    assert (grid.years, grid.held, grid.maybe, grid.missing) == (10, 1, 1, 8)


def test_a_wide_window_fills_no_gap():
    assert year_grid([1930], {"1922-1950": 40}).missing == 1


def test_no_code_no_grid():
    assert year_grid([], {"1924-1924": 2}) is None


def test_years_are_those_of_the_code_as_far_as_they_are_known():
    assert years_allowed([code()], [], 2026) == set(range(1922, 1951))
    assert years_allowed([code()], [], 1930) == set(range(1922, 1931))
    assert years_allowed([code(kind="other")], [], 2026) == set()
    assert years_allowed([code(valid_to=None)], [], 2026) == set()
    assert years_allowed([code(valid_from=1700)], [], 2026) == set()  # too many to be a series
    listed = code(kind="letter-table", table="A=1921; B=1925-1926; C=1960")
    assert years_allowed([listed], [], 2026) == {1925, 1926}


def test_an_end_the_code_does_not_say_is_that_of_its_mark():
    ref = dating.reference()
    mark = next(m for m in ref.marks.values() if m.used_from and m.used_to and m.used_to - m.used_from < 60)
    found = years_allowed([code(valid_from=None, valid_to=None, mark_ids=(mark.id,))], [mark], 2026)
    assert found == set(range(mark.used_from, mark.used_to + 1))
