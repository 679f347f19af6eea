"""Sizes made beside the requests, and made up for at the next start."""

import time
from contextlib import contextmanager
from threading import Event, Thread

import pytest

from catalogue.access import background
from catalogue.photos import files, renditions
from catalogue.photos.models import Photo
from catalogue.photos.renditions import SizeWorker, sizes_soon, worker
from catalogue.photos.services import take_in
from tests.photos.drawn import jpeg


@contextmanager
def at_work(run=worker.run):
    """The worker in its thread, as `start` runs it; its hook closes the thread's connections."""
    stop = Event()
    thread = Thread(target=background.run_guarded, args=(lambda stop: run(stop), stop))
    thread.start()
    wait_for(lambda: worker.running)
    try:
        yield
    finally:
        stop.set()
        thread.join(20)
    assert not thread.is_alive()


def wait_for(condition, seconds: float = 20) -> None:
    end = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < end, "it never happened"
        time.sleep(0.02)


def without_sizes(photo: Photo) -> None:
    for name in ("small", "medium", "large"):
        files.size(photo.sha256, name).unlink()
    Photo.objects.filter(pk=photo.pk).update(sizes_made=False)


@pytest.fixture
def shared_memory(transactional_db):
    """Two threads look at one database here, so the test's writes must be real ones."""


def test_the_worker_is_one_of_the_background_works():
    assert worker.run in background._works


def test_without_a_worker_sizes_are_made_at_once(find):
    assert take_in(jpeg(), subject=find).sizes_made


def test_with_a_worker_the_request_does_not_wait(shared_memory, find):
    with at_work():
        photo = take_in(jpeg(), subject=find)
        assert not photo.sizes_made
        wait_for(lambda: Photo.objects.get().sizes_made)
    assert files.has_sizes(photo.sha256)


def test_what_an_earlier_run_left_is_made_at_start(shared_memory, find):
    photo = take_in(jpeg(), subject=find)
    without_sizes(photo)
    with at_work(worker.run):
        wait_for(lambda: Photo.objects.get().sizes_made)
    assert files.has_sizes(photo.sha256)


def test_one_that_fails_does_not_end_the_work(shared_memory, find):
    bad, good = take_in(jpeg(1), subject=find), take_in(jpeg(2), subject=find)
    for photo in (bad, good):
        without_sizes(photo)
    files.original(bad.sha256, "JPEG").write_bytes(b"rust")
    with at_work():
        wait_for(lambda: Photo.objects.get(pk=good.pk).sizes_made)
    assert not Photo.objects.get(pk=bad.pk).sizes_made


def test_a_rolled_back_picture_is_no_work(shared_memory, find, monkeypatch):
    from django.db import transaction

    added = []
    monkeypatch.setattr(worker, "running", True)
    monkeypatch.setattr(worker, "add", lambda *work: added.append(work))
    with pytest.raises(RuntimeError), transaction.atomic():
        assert not sizes_soon("ab" * 32, "JPEG")
        raise RuntimeError
    assert added == []
    sizes_soon("ab" * 32, "JPEG")
    assert added == [("ab" * 32, "JPEG")]


def test_stop_is_heard_while_there_is_nothing_to_do(shared_memory):
    own, stop = SizeWorker(), Event()
    stop.set()
    own.run(stop)
    assert not own.running


def test_making_tells_what_is_still_to_make(find):
    photo = take_in(jpeg(), subject=find)
    assert renditions.still_to_make() == []
    without_sizes(photo)
    assert renditions.still_to_make() == [(photo.sha256, "JPEG")]
    photo.put_in_bin()
    assert renditions.still_to_make() == [(photo.sha256, "JPEG")]
