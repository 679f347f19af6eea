"""The bottles of every board are found: drawn racks of one to four boards, tilted, with gaps, touching."""

import numpy as np
import pytest

from catalogue.photos.imaging import find_bottles
from catalogue.photos.imaging.boards import level_edges, spaces_between

from .racks import WALLS, Rack, Tally, draw_rack, tally

# Of 100 drawn bottles so many at least get their box, and so many boxes at most hold none. Measured on 60
# racks (python -m tests.benchmarks shelves): 98 and 1; what is missed is white glass before a white wall.
FOUND, FALSE = 0.95, 0.03
RACKS = [
    Rack(boards=1, places=8, tilt_deg=-3, wall="grey paint", seed=1, close=0.4),
    Rack(boards=2, places=9, tilt_deg=1.8, wall="limewash", seed=5, from_above=True, close=0.3),
    Rack(boards=3, places=8, tilt_deg=-1.2, wall="pine", seed=2, gaps=0.4),
    Rack(boards=4, places=6, tilt_deg=3, wall="dark cellar", seed=19, from_above=True, gaps=0.1),
]


def test_every_board_of_drawn_racks() -> None:
    counts = Tally()
    for rack in RACKS:
        picture, drawn = draw_rack(rack)
        counts += tally(find_bottles(picture), drawn)
        assert counts.drawn > 0
    assert counts.drawn >= 60
    assert counts.found >= FOUND * counts.drawn, counts
    assert counts.false <= FALSE * counts.drawn, counts


def test_boards_are_found_where_they_are_drawn() -> None:
    for boards in (1, 2, 3):
        rack = Rack(
            boards=boards, places=6, tilt_deg=2, wall=WALLS[boards], seed=boards, width=700, board_high=210
        )
        picture, _ = draw_rack(rack)
        spaces = spaces_between(picture.astype(np.float32) / 255)
        assert len(spaces) == boards
        for n, space in enumerate(spaces):
            assert space.edge == pytest.approx((n + 0.9) * rack.board_high, abs=6)
            assert space.slope == pytest.approx(-np.tan(np.radians(2)), abs=0.008)


def test_an_empty_board_has_no_bottle_and_the_row_below_is_found() -> None:
    full = Rack(boards=1, places=7, seed=3)
    below, drawn = draw_rack(full)
    above, _ = draw_rack(Rack(boards=1, places=7, seed=4, gaps=1.0))
    found = find_bottles(np.concatenate([above, below]))
    assert len(found) == len(drawn)
    assert all(box.top > len(above) for box in found)


def test_a_wall_without_boards_has_no_edges_but_one_space() -> None:
    plain = np.full((300, 500, 3), 0.7, np.float32)
    assert level_edges(plain) == []
    (space,) = spaces_between(plain)
    assert (space.top, space.edge, space.slope) == (0, 299, 0.0)


def test_lines_too_steep_for_a_board_are_none() -> None:
    y, x = np.mgrid[0:300, 0:500]
    steep = np.where(y > 100 + 0.2 * x, np.float32(0.3), np.float32(0.8))[..., None].repeat(3, axis=2)
    assert level_edges(steep) == []
