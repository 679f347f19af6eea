"""A start within the test's own process leaves nothing behind."""

import os
import signal
import tempfile

import pytest

from catalogue.access.startup import bootstrap


@pytest.fixture
def put_back(monkeypatch):
    """Environment, signals and the remembered start as they were."""
    handlers = {each: signal.getsignal(each) for each in bootstrap.ending_signals()}
    kept, temporary = dict(os.environ), tempfile.tempdir
    monkeypatch.setattr(bootstrap, "current", None)
    yield
    for each, handler in handlers.items():
        signal.signal(each, handler)
    tempfile.tempdir = temporary
    os.environ.clear()
    os.environ.update(kept)
