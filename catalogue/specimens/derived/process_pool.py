"""A process pool that dates many bottles: its workers get plain questions and give plain answers.

Only the asking process reads and writes the database; this module and all it imports are free of it.
"""

import json
import multiprocessing
import os
import signal
import sys
import threading
from collections.abc import Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from typing import Any
from zlib import crc32

import dating
from catalogue.specimens.stored_answer import columns_of
from dating.ranking import likeliest_maker

# Fewer finds are dated sooner than the processes have started.
FEWEST = 1500
OwnRows = Sequence[dict[str, str]]
FutureAnswers = Future[list[dict[str, Any]]]
_tables: list[dating.Reference] = []


def question_of(case: dict[str, Any], maker_known: bool) -> str:
    """A case as a text: equal ones have the same answer. With the maker known no mark needs weighing."""
    return json.dumps([case, maker_known])


def answer_to(question: str, reference: dating.Reference) -> dict[str, Any]:
    """The columns of a find, and `likeliest`: a mark and the chance of its maker's marks together."""
    case, maker_known = json.loads(question)
    finding = dating.assess(dating.Case.from_dict(case, reference), reference, reasons=False)
    informed = bool(case["features"] or case["marks"] or case["known"])
    likeliest = None if maker_known else likeliest_maker(finding)
    return columns_of(finding, informed) | {
        "made_with": reference.version,
        "likeliest": likeliest and (likeliest.mark_id, likeliest.share),
    }


class ProcessPool:
    """Processes that date beside this one, as many as there are processors.

    Each gets all the questions about the same letters, as it remembers what they may mean.
    """

    def __init__(self, marks: OwnRows, codes: OwnRows, version: str, size: int) -> None:
        self._pools = [
            ProcessPoolExecutor(
                1,
                # starts alike everywhere, and safely beside threads
                mp_context=multiprocessing.get_context("spawn"),
                initializer=_begin,
                initargs=(marks, codes, version),
            )
            for _ in range(size)
        ]

    def ask(self, questions: Sequence[str]) -> dict[str, tuple[FutureAnswers, int]]:
        """Hand over; where each answer will be. Raises BrokenProcessPool or OSError."""
        shares: list[list[str]] = [[] for _ in self._pools]
        anyones = []
        for question in questions:
            letters = "".join(str(mark["letters"]) for mark in json.loads(question)[0]["marks"])
            if letters:
                shares[crc32(letters.encode()) % len(shares)].append(question)
            else:
                anyones.append(question)
        for question in anyones:
            min(shares, key=len).append(question)
        asked: dict[str, tuple[FutureAnswers, int]] = {}
        for pool, share in zip(self._pools, shares, strict=True):
            if share:
                future = pool.submit(_answers, share)
                asked |= {question: (future, n) for n, question in enumerate(share)}
        return asked

    def close(self) -> None:
        """End the processes; what they have not begun is dropped."""
        for pool in self._pools:
            pool.shutdown(cancel_futures=True)


def pool_size(finds: int) -> int:
    """How many processes so many finds are worth: none on one processor, or where they could not start."""
    size = os.cpu_count() or 1
    return size if finds >= FEWEST and size > 1 and not getattr(sys, "frozen", False) else 0


# What says that no processes can be had: the asking one does without.
UNABLE = (BrokenProcessPool, OSError, NotImplementedError, ImportError)


def _begin(marks: OwnRows, codes: OwnRows, version: str) -> None:
    """In a process of the pool, once: join the tables; it ends when the asking process does, also killed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()
    reference = dating.reference()
    _tables[:] = [reference.with_own(marks=marks, date_codes=codes) if marks else reference]
    if _tables[0].version != version:
        raise RuntimeError("the tables changed since they were read")


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(0)


def _answers(questions: Sequence[str]) -> list[dict[str, Any]]:
    """An answer each; empty where there is none: the asking process tries again, and says why."""
    return [_answer_or_none(question) for question in questions]


def _answer_or_none(question: str) -> dict[str, Any]:
    try:
        return answer_to(question, _tables[0])
    except dating.CaseError:
        return {}
