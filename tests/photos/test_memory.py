"""What picture work takes of the machine: one heap for all threads, and its place behind the pages."""

import os
import platform
import sys
from concurrent.futures import ThreadPoolExecutor
from threading import get_native_id

import pytest

from catalogue.photos.decoding import NICENESS, in_turn, let_pages_go_first, share_one_heap


@pytest.mark.skipif(platform.libc_ver()[0] != "glibc", reason="only the GNU library knows the setting")
def test_set_on_the_gnu_library():
    assert share_one_heap()


def test_passed_over_elsewhere(monkeypatch):
    monkeypatch.setattr(sys, "platform", "win32")
    assert not share_one_heap()


@pytest.mark.skipif(sys.platform != "linux", reason="only there threads are weighed singly")
def test_picture_work_stands_behind_the_pages():
    here = os.getpriority(os.PRIO_PROCESS, get_native_id())
    there = in_turn(lambda: os.getpriority(os.PRIO_PROCESS, get_native_id()))
    assert there == min(19, max(here, NICENESS))


@pytest.mark.skipif(sys.platform != "linux", reason="only there threads are weighed singly")
def test_it_never_comes_forward_of_where_the_program_was_put():
    """The superuser could: `nice -n 12` before the start is an owner's word."""

    def further_back() -> int:
        os.setpriority(os.PRIO_PROCESS, get_native_id(), 12)
        let_pages_go_first()
        return os.getpriority(os.PRIO_PROCESS, get_native_id())

    with ThreadPoolExecutor(1) as thread:
        assert thread.submit(further_back).result() == 12
