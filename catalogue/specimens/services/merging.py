"""Merging two towns, bottlers, products, makers or people that are one; words and years of finds follow."""

from catalogue.common.merging import MergeError, merge, takes_over, undo_merge, what_moves
from catalogue.common.models import Merge
from catalogue.common.records import Record
from catalogue.specimens.derived.refresh import note_maker, refreshing
from catalogue.specimens.derived.writer import write_columns
from catalogue.specimens.models import Maker, Specimen

__all__ = ["MergeError", "merge_records", "part_records", "takes_over", "what_moves"]


@refreshing()
def merge_records(kept: Record, gone: Record) -> Merge:
    """Merge `gone` into `kept` and bring up to date what is worked out of their finds. Raises MergeError.

    Marks, codes and works of a maker move along, also to a published one: there they are rows of one's own
    beside the published, with their own years and source, and count as one's own do. A mark that the tables
    have too is then one variant more of the same maker, which takes nothing from others.
    """
    if isinstance(gone, Maker):
        note_maker(gone)
        note_maker(kept if isinstance(kept, Maker) else gone)
    made = merge(kept, gone)
    if isinstance(gone, Maker):
        # Dating them anew may be left to the worker; meanwhile none shows a maker that lies in the bin.
        shown = Specimen.everything.filter(maker=gone.pk).values_list("pk", flat=True)
        write_columns([(pk, {"maker_id": kept.pk}) for pk in shown])
    return made


@refreshing()
def part_records(made: Merge) -> Record:
    """Undo a merge; the record that is there again, its finds' words and years with it. Raises MergeError."""
    if made.kind == Merge.Kind.MAKER and (kept := Maker.everything.filter(pk=made.kept).first()):
        note_maker(kept)
    return undo_merge(made)
