"""A small act is done and said, or why not is said; other errors are nobody's words."""

import pytest
from django.contrib import messages
from django.contrib.messages.storage.cookie import CookieStorage
from django.test import RequestFactory

from catalogue.pages.parts.undo import saying_why_not


class NotNow(Exception):
    """A refusal."""


def asked():
    request = RequestFactory().post("/")
    request._messages = CookieStorage(request)
    return request


def said(request) -> list[tuple[int, str]]:
    return [(each.level, str(each)) for each in request._messages]


def test_what_was_done_is_said_and_nothing_else():
    request = asked()
    with saying_why_not(request, NotNow):
        messages.success(request, "Done.")
    assert said(request) == [(messages.SUCCESS, "Done.")]


def test_why_it_was_refused_takes_the_place_of_what_was_done():
    request, gone_on = asked(), []
    with saying_why_not(request, NotNow, KeyError, before="2026.0.1: ", level=messages.WARNING):
        if request:
            raise NotNow("it is in a bath.")
        messages.success(request, "Done.")
    gone_on.append(True)
    assert said(request) == [(messages.WARNING, "2026.0.1: it is in a bath.")] and gone_on


def test_another_error_goes_on():
    request = asked()
    with pytest.raises(ValueError, match="a fault"), saying_why_not(request, NotNow):
        raise ValueError("a fault")
    assert said(request) == []
