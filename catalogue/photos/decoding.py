"""How many pictures may be decoded at once: memory stays bounded however many are sent together."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import BoundedSemaphore
from typing import ParamSpec, TypeVar

Given = ParamSpec("Given")
Made = TypeVar("Made")

# One for each of the two cores of a modest laptop: the page that is being asked for, and the worker.
AT_MOST_TWO = BoundedSemaphore(2)
# The same two threads for all of it. A thread keeps the memory it once used for a picture: the eight of the
# server, each with a turn at it, held more than twice as much (measured with 12-megapixel pictures).
_THREADS = ThreadPoolExecutor(2, thread_name_prefix="picture")


def in_turn(work: Callable[Given, Made], *given: Given.args, **more: Given.kwargs) -> Made:
    """Do picture work in one of the two threads, and wait for it; what it raises is raised here.

    The work must not touch the database, whose connections belong to their threads, nor call this again.
    """

    def with_room() -> Made:
        with AT_MOST_TWO:
            return work(*given, **more)

    return _THREADS.submit(with_room).result()
