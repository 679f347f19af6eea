"""A lock that is handed on in the order of asking."""

from collections import deque
from threading import Lock


class FairTurn:
    """A turn that one thread has at a time, as a context manager; whoever asked first has it next.

    Python's own lock may be taken again by the thread that has just let it go, however many wait: beside
    a script that never stops asking, somebody else may wait for as long as it goes on.
    """

    def __init__(self) -> None:
        self._guard = Lock()
        self._is_had = False
        self._waiting: deque[Lock] = deque()

    def __enter__(self) -> None:
        with self._guard:
            if not self._is_had:
                self._is_had = True
                return
            mine = Lock()
            mine.acquire()
            self._waiting.append(mine)
        try:
            mine.acquire()
        except BaseException:
            # Interrupted while it waited: the turn must not be handed to nobody.
            with self._guard:
                was_handed = mine not in self._waiting
                if not was_handed:
                    self._waiting.remove(mine)
            if was_handed:
                self._hand_on()
            raise

    def __exit__(self, *_: object) -> None:
        self._hand_on()

    def _hand_on(self) -> None:
        with self._guard:
            if self._waiting:
                self._waiting.popleft().release()
            else:
                self._is_had = False
