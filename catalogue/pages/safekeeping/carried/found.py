"""What the search of carried pages reads: one script that is loaded when somebody begins to search."""

import json
from collections.abc import Sequence

from .lists import GroupKind
from .pieces import CarriedPiece
from .rendered import MARK_UP

PIECES_SCRIPT = "pieces.js"
Choices = list[tuple[str, str, list[tuple[int, str]]]]


def search_choices(pieces: Sequence[CarriedPiece], kinds: Sequence[GroupKind]) -> Choices:
    """The filters: name, label, and what can be chosen, each with its place in what `search_script` lists."""
    labels = {"towns": "Town", "makers": "Maker", "decades": "Decade"}
    found = [(kind.folder, labels[kind.folder], _numbered([g.words for g in kind.groups])) for kind in kinds]
    return [each for each in [*found, ("kinds", "Kind", _numbered(_vessels(pieces)))] if each[2]]


def search_script(pieces: Sequence[CarriedPiece], kinds: Sequence[GroupKind]) -> bytes:
    """Every piece: its words, its choices by their places, whether it is free, its spans of years, its card.

    No server answers on a stick, and a page from a disk may load scripts alone.
    """
    places = {kind.folder: {g.words: n for n, g in enumerate(kind.groups)} for kind in kinds}
    vessels = {words: n for n, words in enumerate(_vessels(pieces))}
    labels = sorted({piece.labels for piece in pieces})
    rows = [
        [
            piece.words,
            {kind.folder: [places[kind.folder][words] for words in kind.of(piece)] for kind in kinds}
            | {"kinds": [vessels[piece.kind]] if piece.kind else []},
            int(piece.free),
            piece.spans,
            labels.index(piece.labels),
            piece.card.replace(MARK_UP, ""),
        ]
        for piece in pieces
    ]
    said = json.dumps({"labels": labels, "rows": rows}, ensure_ascii=False, separators=(",", ":"))
    return f"window.carriedPieces={said};\n".encode()


def _vessels(pieces: Sequence[CarriedPiece]) -> list[str]:
    return sorted({piece.kind for piece in pieces if piece.kind})


def _numbered(words: Sequence[str]) -> list[tuple[int, str]]:
    return list(enumerate(words))
