"""The boards of a rack in a picture: long edges that run level, or nearly so, across the whole width.

A Hough transform over strips: the step of colour at each row of many upright strips is gathered along
straight lines of small slope. Bottles hide an edge in some strips only, so a low quantile over them counts.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from .arrays import Map

STEEPEST = 0.09
"""Slope of the steepest board looked for: about 5 degrees."""
LEAST_STEP = 0.03
CLEAR_SHARE = 0.3
"""How clear an edge must be beside the clearest of the picture."""
LEAST_SPACE = 0.11
"""The lowest space in which bottles may stand, as a share of the picture's height: nine boards fill it."""
BOARD_THICK = 0.06
"""How far from a clear edge a fainter one may lie and be of the same board, as a share of the height."""
SLOPES_ALIKE = 0.02
"""How far the slopes of a picture's boards may lie apart: it is taken a little from the side."""
EVEN = 0.45
"""How uneven a board's evenest row may be beside the rows of the picture."""
SEEN_IN = 0.52
"""The quantile over the strips: just over half, so that either the board or the feet before it are seen."""


@dataclass(frozen=True, slots=True)
class Edge:
    """A nearly level edge: its row in the middle of the picture, rows it sinks per column, its step."""

    row: float
    slope: float
    clear: float


@dataclass(frozen=True, slots=True)
class Space:
    """Where one row of bottles may stand: between the edge above (row `top`) and the board (row `edge`).

    Rows are counted in the picture sheared by `slope` (rows per column) around its middle column: there the
    board is level. Feet stand between `edge` and `front`, where the board is seen from above.
    """

    top: int
    edge: int
    front: int
    slope: float


def spaces_between(colours: Map) -> list[Space]:
    """The spaces of a picture (height, width, channels; fractions), from the top; one at least.

    Edges that stand close are one board: where the wall meets it, its front, its underside.
    """
    height = int(colours.shape[0])
    least = LEAST_SPACE * height
    boards: list[list[Edge]] = []
    for edge in level_edges(colours):
        if boards and edge.row - boards[-1][-1].row < least:
            boards[-1].append(edge)
        else:
            boards.append([edge])
    spaces, top = [], 0.0
    for board in (board for board in boards if _even_near(colours, board)):
        first, last = board[0], board[-1]
        if first.row - top >= least:
            apart = first.row + max(4, height // 100)
            front = next((edge.row for edge in board if edge.row > apart), first.row + 0.04 * height)
            clearest = max(board, key=lambda edge: edge.clear)
            spaces.append(
                Space(round(top), round(first.row), round(min(front + 2, height - 1)), clearest.slope)
            )
        top = last.row + 1
    usual = float(np.median([space.edge - space.top for space in spaces])) if spaces else height
    if height - 1 - top >= max(least, 0.6 * usual):
        spaces.append(Space(round(top), height - 1, height - 1, spaces[-1].slope if spaces else 0.0))
    return spaces


def level_edges(colours: Map) -> list[Edge]:
    """Every clear edge across the whole width that is level within `STEEPEST`, from the top."""
    height, width = int(colours.shape[0]), int(colours.shape[1])
    levels, off = _strips(colours)
    reach = max(2, height // 240)
    step = np.zeros(levels.shape[:2], dtype=np.float32)
    step[reach:-reach] = np.abs(levels[2 * reach :] - levels[: -2 * reach]).max(axis=2)
    slopes = np.arange(-STEEPEST, STEEPEST, 3 / width)
    seen = np.stack([np.quantile(_along(step, off * slope), SEEN_IN, axis=1) for slope in slopes])
    best = seen.max(axis=0)
    edges = []
    for row in np.flatnonzero(best >= LEAST_STEP / 2).tolist():
        if best[row] >= best[max(0, row - 2 * reach) : row + 2 * reach + 1].max():
            edges.append(Edge(float(row), float(slopes[int(seen[:, row].argmax())]), float(best[row])))
    sure = max(LEAST_STEP, CLEAR_SHARE * max((edge.clear for edge in edges), default=0.0))
    firm = [edge for edge in edges if edge.clear >= sure]
    if not firm:
        return []
    usual = _weighted_median(np.array([e.slope for e in firm]), np.array([e.clear for e in firm]))
    firm = [edge for edge in firm if abs(edge.slope - usual) <= SLOPES_ALIKE]
    # A board's other edges may be fainter than what makes it a board.
    faint = [e for e in edges if e.clear >= sure / 2 and abs(e.slope - usual) <= SLOPES_ALIKE]
    near = BOARD_THICK * height
    kept = [edge for edge in faint if any(abs(edge.row - other.row) <= near for other in firm)]
    at_usual = seen[int(np.abs(slopes - usual).argmin())]
    leaves = abs(usual) * width / 2 + 3 * reach
    return [
        replace(e, slope=usual)
        if at_usual[int(e.row)] >= 0.9 * e.clear or not leaves <= e.row <= height - leaves
        else e
        for e in kept
    ]


def _even_near(colours: Map, board: list[Edge]) -> bool:
    """Whether a row at or below these edges is about even: wood, or the wall above the next row.

    Bottles alike make level edges too, with their shoulders; but below those they go on.
    """
    height = len(colours)
    levels, off = _strips(colours)
    level = np.stack([_along(layer, off * board[0].slope) for layer in np.moveaxis(levels, 2, 0)], axis=2)
    uneven = np.abs(np.diff(level, axis=1)).max(axis=2).mean(axis=1)
    low, high = round(board[0].row) + 3, round(board[-1].row + BOARD_THICK / 2 * height)
    if high >= height:
        return True
    return bool(uneven[low : high + 1].min() <= EVEN * np.quantile(uneven, 0.75))


def _strips(colours: Map) -> tuple[Map, NDArray[np.float64]]:
    """The median colours of upright strips (height, strips, channels); columns from the middle."""
    width = int(colours.shape[1])
    strips = np.array_split(np.arange(width), max(8, width // 12))
    levels = np.stack([np.median(colours[:, strip], axis=1) for strip in strips], axis=1)
    return levels, np.array([strip.mean() for strip in strips]) - width / 2


def sheared(colours: Map, slope: float) -> Map:
    """The picture with each column moved up by `slope` × its place beside the middle; edges are repeated."""
    height, width = colours.shape[:2]
    by = np.round((np.arange(width) - width / 2) * slope).astype(np.intp)
    rows = np.clip(np.arange(height)[:, None] + by[None, :], 0, height - 1)
    return np.asarray(colours[rows, np.arange(width)[None, :]])


def _along(step: Map, by: NDArray[np.float64]) -> Map:
    """The steps of each strip moved up by so many rows; what comes from outside is none."""
    height = len(step)
    rows = np.arange(height)[:, None] + np.round(by).astype(np.intp)[None, :]
    inside = (rows >= 0) & (rows < height)
    moved = step[np.clip(rows, 0, height - 1), np.arange(step.shape[1])[None, :]]
    return np.where(inside, moved, np.float32(0))


def _weighted_median(values: NDArray[np.float64], weights: NDArray[np.float64]) -> float:
    order = np.argsort(values)
    total = weights[order].cumsum()
    return float(values[order][int(np.searchsorted(total, total[-1] / 2))])
