"""Work that the rooms want done at the start."""

import threading

import pytest

from catalogue.access.startup import hooks


@pytest.fixture(autouse=True)
def nothing_registered(monkeypatch):
    monkeypatch.setattr(hooks, "_steps", [])
    monkeypatch.setattr(hooks, "_works", [])


def test_steps_run_in_order_and_each_once():
    ran = []

    def first():
        ran.append("first")

    def second():
        ran.append("second")

    for step in (first, second, first):
        assert hooks.before_serving(step) is step
    assert hooks.run_steps() == []
    assert ran == ["first", "second"]


def test_a_step_that_fails_is_named_and_keeps_nobody_out(caplog):
    ran = []

    def fails():
        raise ValueError("no sizes")

    hooks.before_serving(fails)
    hooks.before_serving(lambda: ran.append("after"))
    (name,) = hooks.run_steps()
    assert name.endswith("fails")
    assert ran == ["after"]
    assert "no sizes" in caplog.text


def test_background_work_runs_until_it_is_told_to_stop(caplog):
    begun = threading.Event()

    def works(stop):
        begun.set()
        stop.wait(10)

    def fails(stop):
        raise ValueError("nothing to do")

    for work in (works, works, fails):
        hooks.in_background(work)
    stop = threading.Event()
    threads = hooks.start_works(stop)
    assert len(threads) == 2
    assert begun.wait(5)
    assert threads[0].is_alive()
    stop.set()
    for thread in threads:
        thread.join(5)
        assert not thread.is_alive()
    assert "nothing to do" in caplog.text
