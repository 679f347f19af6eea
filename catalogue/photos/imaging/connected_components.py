"""Connected components of a mask (labelling by union-find), and its dilation and erosion."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Region:
    """A patch: its number in the map of labels, its box (right and bottom just outside) and its pixels."""

    label: int
    left: int
    top: int
    right: int
    bottom: int
    pixels: int


def connected_components(mask: Mask) -> tuple[NDArray[np.int32], list[Region]]:
    """Labels (0 where the mask is false, patches from 1) and the patches, largest first.

    Runs of each row are joined with the touching runs of the row above (8 neighbours) in a union-find.
    """
    height, width = mask.shape
    padded = np.zeros((height, width + 2), dtype=np.int8)
    padded[:, 1:-1] = mask
    steps = np.diff(padded, axis=1)
    rows, starts = np.nonzero(steps == 1)
    ends = np.nonzero(steps == -1)[1]
    parent = list(range(len(rows)))

    def root(run: int) -> int:
        while parent[run] != run:
            parent[run] = parent[parent[run]]
            run = parent[run]
        return run

    first = np.searchsorted(rows, np.arange(height + 1)).tolist()
    start, end = starts.tolist(), ends.tolist()
    for row in range(1, height):
        above = first[row - 1]
        for run in range(first[row], first[row + 1]):
            while above < first[row] and end[above] < start[run]:
                above += 1
            touching = above
            while touching < first[row] and start[touching] <= end[run]:
                parent[root(run)] = root(touching)
                touching += 1
    groups: dict[int, list[int]] = {}
    for run in range(len(parent)):
        groups.setdefault(root(run), []).append(run)
    labels = np.zeros((height, width), dtype=np.int32)
    found = []
    for runs in groups.values():
        pixels = int((ends[runs] - starts[runs]).sum())
        box = (
            int(starts[runs].min()),
            int(rows[runs].min()),
            int(ends[runs].max()),
            int(rows[runs].max()) + 1,
        )
        found.append((pixels, box, runs))
    found.sort(key=lambda entry: (-entry[0], entry[1]))
    patches = []
    for label, (pixels, box, runs) in enumerate(found, start=1):
        for run in runs:
            labels[rows[run], start[run] : end[run]] = label
        patches.append(Region(label, *box, pixels))
    return labels, patches


def closed(mask: Mask, by: int) -> Mask:
    """Morphological closing: holes and gaps up to twice `by` pixels wide are filled."""
    return dilated(dilated(mask, by), -by)


def dilated(mask: Mask, by: int) -> Mask:
    """Dilation: the mask made wider by `by` pixels on every side (a square); erosion where negative."""
    if by < 0:
        return ~dilated(~mask, -by)
    out = mask
    for axis in (0, 1):
        pad = [(0, 0), (0, 0)]
        pad[axis] = (by + 1, by)
        total = np.cumsum(np.pad(out, pad), axis=axis, dtype=np.int32)
        length = out.shape[axis]
        late, early = 2 * by + 1, 0
        if axis == 0:
            out = total[late : late + length] > total[early : early + length]
        else:
            out = total[:, late : late + length] > total[:, early : early + length]
    return out
