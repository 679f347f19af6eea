"""A turn is handed on in the order of asking, also beside one who never stops."""

import threading
import time

import pytest

from catalogue.common.forms.idempotency_key import FairTurn


def waiting(turn: FairTurn, count: int) -> None:
    """Come back once so many wait."""
    until = time.monotonic() + 20
    while len(turn._waiting) < count:
        assert time.monotonic() < until
        time.sleep(0.001)


def test_the_turn_is_handed_on_in_the_order_of_asking() -> None:
    turn, had = FairTurn(), []

    def ask(name: str) -> None:
        with turn:
            had.append(name)

    threads = [threading.Thread(target=ask, args=(name,)) for name in "abcd"]
    with turn:
        for count, thread in enumerate(threads, 1):
            thread.start()
            waiting(turn, count)
    # Whoever has just let it go asks again at once, and comes last.
    ask("again")
    for thread in threads:
        thread.join(20)
    assert had == ["a", "b", "c", "d", "again"]


def test_an_error_lets_it_go() -> None:
    turn = FairTurn()
    with pytest.raises(ValueError, match="within"), turn:
        raise ValueError("within")
    with turn:
        pass


@pytest.mark.parametrize("handed", [False, True])
def test_one_that_is_interrupted_while_it_waits_is_passed_over(monkeypatch, handed: bool) -> None:
    turn, made = FairTurn(), []

    class Interrupted:
        def __init__(self) -> None:
            self.takes = 0
            made.append(self)

        def acquire(self) -> None:
            self.takes += 1
            if self.takes == 2:
                if handed:
                    turn._hand_on()
                raise KeyboardInterrupt

        def release(self) -> None:
            pass

    with turn:
        monkeypatch.setattr("catalogue.common.forms.idempotency_key.Lock", Interrupted)
        with pytest.raises(KeyboardInterrupt):
            turn.__enter__()
        monkeypatch.undo()
        assert made and not turn._waiting
        if handed:
            # It was given away above, and let go by the one that was interrupted.
            assert not turn._is_had
            turn.__enter__()
    with turn:
        pass
