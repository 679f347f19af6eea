"""Background work beside the pages."""

import threading

import pytest

from catalogue.access import background


@pytest.fixture(autouse=True)
def nothing_registered(monkeypatch):
    monkeypatch.setattr(background, "_works", [])


def test_background_work_runs_until_it_is_told_to_stop(caplog):
    begun = threading.Event()

    def works(stop):
        begun.set()
        stop.wait(10)

    def fails(stop):
        raise ValueError("nothing to do")

    for work in (works, works, fails):
        background.register(work)
    stop = threading.Event()
    threads = background.start(stop)
    assert len(threads) == 2
    assert begun.wait(5)
    assert threads[0].is_alive()
    stop.set()
    for thread in threads:
        thread.join(5)
        assert not thread.is_alive()
    assert "nothing to do" in caplog.text
