"""Pages beside a piece's own: its other pictures, and before and after side by side."""

from .pieces import MORE_ON_A_PAGE, PieceInHand, compare_page_of, more_page_of
from .rendered import RenderedPages


def write_beside(hand: PieceInHand, pages: RenderedPages) -> None:
    """Write those that the piece has. Raises OSError."""
    piece, context = hand.piece, {"find": hand.context["find"], "piece": hand.piece}
    if hand.compared:
        shown = context | {"shots": hand.compared}
        pages.page(compare_page_of(piece.number), "pages/safekeeping/carried/compared.html", shown)
    for begin in range(0, len(hand.more), MORE_ON_A_PAGE):
        part = begin // MORE_ON_A_PAGE + 1
        end = begin + MORE_ON_A_PAGE
        shown = context | {
            "shots": hand.more[begin:end],
            "part": part,
            "next_page": more_page_of(piece.number, part + 1) if end < len(hand.more) else "",
        }
        pages.page(more_page_of(piece.number, part), "pages/safekeeping/carried/more.html", shown)
