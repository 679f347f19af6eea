"""Outlines of bottle lips by the id of the feature that they show, in units of a drawing 48 high.

Half widths and heights above the cut through the neck, up the right-hand side. Sketches of our own, made
from the table's own words for how each is seen (common practice, no source): they tell lips apart, they are
not to scale. Side seams are drawn as high as the words say that they run.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

LipOutline = tuple[tuple[float, float], ...]
HeightSpan = tuple[float, float]


class Lip(NamedTuple):
    """One lip: its outside, its bore, and what tells it apart."""

    outside: LipOutline
    bore: LipOutline = ((5, 0), (5, 40))
    seam: float | None = None  # how high the side seam runs
    rings: tuple[float, ...] = ()  # traces of the tool that wiped round
    thread: HeightSpan | None = None  # a screw thread outside
    turns: int = 3
    inside_thread: HeightSpan | None = None
    lugs: HeightSpan | None = None  # short slanted ridges
    rough: bool = False  # a broken or ground rim
    ball: float | None = None  # a loose ball in the neck
    added: float | None = None  # the line where added glass begins


_NECK: LipOutline = ((9, 0), (9, 14))
_WIDE_NECK: LipOutline = ((20, 0), (20, 10))
_WIDE_BORE: LipOutline = ((15, 0), (15, 40))
_CROWN: LipOutline = (
    (9, 0),
    (9, 18),
    (11, 20),
    (11, 23),
    (9.5, 25),
    (9.5, 29),
    (13, 30),
    (13, 33),
    (10, 36),
    (7, 37),
)

LIPS: Mapping[str, Lip] = MappingProxyType(
    {
        "applied-finish": Lip(
            (*_NECK, (11, 12), (13, 15), (15, 14), (15.5, 19), (14, 31), (11, 34), (6, 34)), seam=12, added=14
        ),
        "tooled-finish": Lip(
            (*_NECK, (10, 17), (14, 19), (14, 31), (11, 34), (6, 34)), seam=4, rings=(8, 11, 14)
        ),
        "improved-tooled-finish": Lip(
            (*_NECK, (10, 17), (14, 19), (14, 31), (11, 34), (6, 34)), seam=27, rings=(29,)
        ),
        "ground-finish": Lip((*_WIDE_NECK, (20, 34), (15, 34)), _WIDE_BORE, seam=34, rough=True),
        "sheared-finish": Lip(((9, 0), (9, 31), (8, 33), (6, 33)), seam=28),
        "burst-off-finish": Lip(
            ((12, 0), (12, 22), (10, 28), (9, 34), (8, 34)), ((7, 0), (8, 40)), rough=True
        ),
        "fire-polished-finish": Lip(((9, 0), (9, 29), (9.6, 31), (9, 33.5), (7, 34.5), (5, 33.5)), seam=24),
        "flared-finish": Lip(
            ((8, 0), (8, 20), (9, 26), (12, 31), (16, 34), (14, 35)), ((5, 0), (5, 22), (12, 35))
        ),
        "globular-flare-finish": Lip(
            ((8, 0), (8, 18), (11, 22), (14, 27), (13.5, 31), (11, 34), (9, 34)),
            ((5, 0), (5, 19), (10, 26), (9, 34)),
        ),
        "rolled-finish": Lip(
            ((9, 0), (9, 26), (11, 28), (12, 31), (11, 34), (8, 35), (5, 33)),
            ((6, 0), (6, 26), (4.5, 30), (5, 33)),
        ),
        "laid-on-ring": Lip(
            ((9, 0), (9, 24), (12, 25), (13, 27), (11.5, 29.5), (9, 29), (9, 33), (6, 33)), added=24
        ),
        "string-rim-low-disc": Lip(
            ((9, 0), (9, 15), (14.5, 16), (14.5, 18), (9, 18.5), (8.5, 32), (6, 33)), added=15
        ),
        "string-rim-wedge": Lip(((9, 0), (9, 23), (13.5, 26.5), (9, 29), (9, 33), (6, 33)), added=23),
        "string-rim-down-tooled": Lip(
            ((9, 0), (9, 20), (13.5, 19), (13, 22), (9.5, 28), (10, 31), (9, 33), (6, 33)), added=20
        ),
        "string-rim-two-part": Lip(
            ((9, 0), (9, 17), (12.5, 18), (12.5, 22), (10, 23), (12, 24), (12.5, 29), (10.5, 33), (6, 34)),
            added=17,
            rings=(23,),
        ),
        "swing-stopper-dimples-de": Lip(
            ((9, 0), (9, 8), (7, 11), (9, 14), (9, 19), (13, 21), (14, 26), (13, 31), (10, 33), (6, 33))
        ),
        "foil-milk-uk": Lip(
            ((12, 0), (12, 20), (13.5, 23), (15, 26), (15, 29), (13.5, 31), (11, 31)), ((10.5, 0), (10.5, 40))
        ),
        "wine-screwcap": Lip(
            ((9, 0), (9, 10), (11, 11), (11, 14), (9.5, 15), (9.5, 33), (6, 34)),
            seam=34,
            thread=(22, 32),
            turns=4,
        ),
        "crown-finish": Lip(_CROWN, seam=37),
        "crown-finish-tooled": Lip(_CROWN, seam=9, rings=(12, 15)),
        "ext-thread-ground": Lip(
            (*_WIDE_NECK, (19, 12), (19, 34), (15, 34)), _WIDE_BORE, thread=(14, 31), turns=2, rough=True
        ),
        "ext-thread-early": Lip((*_NECK, (12, 16), (12, 33), (6, 34)), thread=(18, 31), turns=1),
        "ext-thread-standard": Lip(
            (*_NECK, (13, 14), (13, 16), (11, 17), (11, 34), (6, 35)), seam=35, thread=(19, 32)
        ),
        "screw-cap-replaces-cork": Lip(
            ((9, 0), (9, 12), (13, 13), (13, 16), (10.5, 17), (10.5, 33), (6, 34)),
            seam=34,
            thread=(19, 31),
            turns=2,
        ),
        "cork-finish-machine": Lip((*_NECK, (13, 17), (14, 20), (14, 31), (12, 34), (6, 34)), seam=34),
        "inside-thread-liquor": Lip((*_NECK, (13, 16), (13, 31), (11, 34), (6, 34)), inside_thread=(14, 32)),
        "inside-thread-uk": Lip(
            ((11, 0), (11, 12), (16, 14), (17, 20), (16, 31), (13, 34), (8, 34)),
            ((8, 0), (8, 40)),
            inside_thread=(12, 32),
        ),
        "marble-stopper": Lip(
            ((13, 0), (13, 8), (9, 12), (9, 15), (13, 18), (13, 26), (15, 28), (15, 33), (12, 36), (6, 36)),
            ((9, 0), (9, 7), (4, 12), (4, 15), (8, 18), (8, 28), (6.5, 30), (6.5, 36)),
            ball=22,
        ),
        "blob-finish-soda": Lip((*_NECK, (13, 15), (16, 19), (17, 24), (16, 29), (13, 33), (6, 34))),
        "blob-finish-beer": Lip((*_NECK, (13, 13), (15.5, 17), (16, 23), (15, 29), (12, 34), (6, 35))),
        "tapered-finish-soda": Lip(((10, 0), (10, 12), (17, 13), (13, 32), (11, 34), (6, 34))),
        "tapered-ring-soda": Lip(
            ((10, 0), (10, 9), (14, 10), (14, 13), (12, 14), (17, 16), (13, 32), (11, 34), (6, 34))
        ),
        "double-taper-beer": Lip(((9, 0), (9, 7), (14, 8), (12, 16), (16, 17), (13, 32), (11, 34), (6, 34))),
        "rounded-lip-beer": Lip(((9, 0), (9, 22), (12, 23), (13.5, 27), (12, 31), (9, 32.5), (6, 32.5))),
        "oil-finish": Lip(((9, 0), (9, 7), (15, 8), (15, 10), (11, 33), (9, 34), (6, 34))),
        "brandy-finish": Lip(
            ((9, 0), (9, 7), (13, 8), (13, 11), (11, 12), (15, 14), (12, 33), (10, 34), (6, 34))
        ),
        "mineral-finish": Lip(
            ((9, 0), (9, 6), (14, 7), (14, 13), (12, 14), (15, 15), (14.5, 32), (12, 34), (6, 34))
        ),
        "double-ring-finish": Lip(
            (
                (9, 0),
                (9, 10),
                (12, 11),
                (12.5, 13),
                (12, 15),
                (10, 16),
                (14, 18),
                (16, 24),
                (14, 31),
                (11, 33),
                (6, 33),
            )
        ),
        "patent-finish": Lip((*_NECK, (15, 15), (15, 33), (6, 33))),
        "prescription-finish": Lip(((9, 0), (9, 20), (11, 23), (16, 30), (16, 33), (6, 33))),
        "champagne-finish": Lip(((9, 0), (9, 20), (13, 20.5), (13, 27), (9, 27.5), (9, 34), (6, 34))),
        "bead-finish": Lip(((9, 0), (9, 25), (12, 26.5), (12.5, 29), (12, 31.5), (9, 33), (6, 33))),
        "packer-finish": Lip(
            ((15, 0), (15, 18), (19, 19), (20, 26), (19, 29), (12, 29)), ((11, 0), (11, 40))
        ),
        "club-sauce-finish": Lip(
            (*_NECK, (14, 16), (15, 24), (14, 33), (11, 34)), ((4.5, 0), (4.5, 20), (8, 21), (9.5, 34))
        ),
        "wax-seal-pressed": Lip(
            ((17, 0), (17, 14), (22, 16), (22, 28), (20, 28), (19.5, 21), (17, 21), (16.5, 32), (13, 32)),
            ((13, 0), (13, 40)),
            rough=True,
        ),
        "wax-seal-applied": Lip(
            (
                (17, 0),
                (17, 13),
                (20, 12),
                (23, 16),
                (22, 28),
                (20, 28),
                (19.5, 21),
                (17, 21),
                (16.5, 30),
                (13, 30),
            ),
            ((13, 0), (13, 40)),
            added=13,
        ),
        "mason-shoulder-seal": Lip(
            ((25, 0), (25, 6), (24, 9), (18, 10), (18, 33), (14, 33)),
            ((14, 0), (14, 40)),
            thread=(14, 30),
            turns=2,
        ),
        "mason-bead-seal": Lip(
            ((25, 0), (24, 5), (19, 8), (21.5, 9.5), (21.5, 12.5), (18, 14), (18, 33), (14, 33)),
            ((14, 0), (14, 40)),
            thread=(17, 30),
            turns=2,
        ),
        "capseat-milk": Lip(
            ((12, 0), (13, 14), (17, 16), (18, 22), (17, 31), (14, 33)),
            ((9, 0), (9.5, 20), (13.5, 21), (13.5, 33)),
        ),
        "tin-top-milk": Lip(
            ((14, 0), (14, 12), (19, 13), (20, 17), (19, 21), (16, 22), (16, 31), (13, 32)),
            ((11, 0), (11, 40)),
        ),
        "lug-finish": Lip(
            (*_WIDE_NECK, (22, 11), (22, 13), (19, 14), (19, 31), (15, 32)), _WIDE_BORE, lugs=(18, 26)
        ),
        "twist-crown": Lip(_CROWN, seam=37, thread=(20, 29), turns=4),
        "roll-on-pilferproof": Lip(
            ((9, 0), (9, 8), (13, 9), (13, 12), (10.5, 13), (10.5, 15), (12, 16), (12, 33), (6, 34)),
            thread=(19, 31),
        ),
        "roll-on-beer": Lip(
            ((9, 0), (9, 10), (13.5, 11), (14, 13), (13.5, 15), (11, 16), (11.5, 33), (6, 34)),
            seam=34,
            thread=(19, 31),
            turns=2,
        ),
        "machine-fire-polished-rim": Lip(
            (*_NECK, (13, 17), (14, 20), (14, 30), (12.5, 33), (9, 34.5), (6, 33.5)), seam=28
        ),
    }
)
