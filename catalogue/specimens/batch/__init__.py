"""One act on many finds: judged by the rules of the single act, written in bulk, undone as one step.

`piece_act` is what an act says of itself, `judging` tells what it would do with each piece and what stands in
its way, `perform` does it in one transaction, `undoing` takes it back. The acts themselves stand in the app
whose rules they ask (`acts` here, `care/batch.py`, `giving/batch.py`).
"""
