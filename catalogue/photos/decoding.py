"""How many pictures may be decoded at once: memory stays bounded however many are sent together."""

import os
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from threading import BoundedSemaphore, get_native_id
from typing import ParamSpec, TypeVar

Given = ParamSpec("Given")
Made = TypeVar("Made")

# One for each of the two cores of a modest laptop: the page that is being asked for, and the worker.
AT_MOST_TWO = BoundedSemaphore(2)
# How far behind the pages' threads, on the system's scale from 0 to 19 (our own choice).
STEPS_BEHIND = 5


def let_pages_go_first() -> None:
    """Put the thread that calls this behind the others where the system weighs threads singly (Linux)."""
    if sys.platform == "linux":
        with suppress(OSError):
            os.setpriority(os.PRIO_PROCESS, get_native_id(), STEPS_BEHIND)


# The same two threads for all of it. A thread keeps the memory it once used for a picture: the eight of the
# server, each with a turn at it, held more than twice as much (measured with 12-megapixel pictures).
_THREADS = ThreadPoolExecutor(2, thread_name_prefix="picture", initializer=let_pages_go_first)


def in_turn(work: Callable[Given, Made], *given: Given.args, **more: Given.kwargs) -> Made:
    """Do picture work in one of the two threads, and wait for it; what it raises is raised here.

    The work must not touch the database, whose connections belong to their threads, nor call this again.
    """

    def with_room() -> Made:
        with AT_MOST_TWO:
            return work(*given, **more)

    return _THREADS.submit(with_room).result()
