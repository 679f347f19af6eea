"""Errors: a plain page, a number that is in the log, and no trace of the program's insides."""

import re

import pytest
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied, SuspiciousOperation
from django.db import connection
from django.http import Http404, HttpRequest, HttpResponse
from django.test import Client
from django.urls import include, path

from catalogue import urls


@login_not_required
def broken(request: HttpRequest) -> HttpResponse:
    raise ZeroDivisionError("the inside of the program")


@login_not_required
def without_database(request: HttpRequest) -> HttpResponse:
    with connection.cursor() as cursor:
        cursor.execute("SELECT * FROM no_such_table")
    raise AssertionError("the query should have failed")


@login_not_required
def closed(request: HttpRequest) -> HttpResponse:
    raise PermissionDenied("This shelf is locked.")


@login_not_required
def gone(request: HttpRequest) -> HttpResponse:
    raise Http404("This label has run out.")


@login_not_required
def unreadable(request: HttpRequest) -> HttpResponse:
    raise SuspiciousOperation("the inside of the program")


urlpatterns = [
    path("broken/", broken),
    path("without-database/", without_database),
    path("closed/", closed),
    path("gone/", gone),
    path("unreadable/", unreadable),
    path("", include(urls.urlpatterns)),
]
handler400, handler403, handler404, handler500 = (
    urls.handler400,
    urls.handler403,
    urls.handler404,
    urls.handler500,
)
pytestmark = [pytest.mark.django_db, pytest.mark.urls(__name__)]


@pytest.fixture
def browser() -> Client:
    """A browser that gets the error page, as a person would, instead of the exception."""
    return Client(raise_request_exception=False)


def number_on(answer) -> str:
    (number,) = re.findall(r'<b class="num">([0-9a-f]{8})</b>', answer.content.decode())
    return number


def test_an_unforeseen_error_shows_the_number_that_is_in_the_log(browser, caplog):
    answer = browser.get("/broken/")
    assert answer.status_code == 500
    (line,) = [r for r in caplog.records if r.name == "siltmark.errors"]
    assert number_on(answer) in line.getMessage()
    assert line.exc_info[0] is ZeroDivisionError
    assert "inside of the program" not in answer.content.decode()
    assert "Traceback" not in answer.content.decode()


def test_two_errors_have_two_numbers(browser):
    assert number_on(browser.get("/broken/")) != number_on(browser.get("/broken/"))


def test_the_error_page_needs_no_database(browser, monkeypatch, django_assert_num_queries):
    with django_assert_num_queries(0):
        assert browser.get("/broken/").status_code == 500
    answer = browser.get("/without-database/")
    assert answer.status_code == 500
    assert "no_such_table" not in answer.content.decode()


def test_an_error_outside_a_page_is_numbered_as_well(browser, caplog, monkeypatch):
    def fails(*args):
        raise OSError("the inside of a layer")

    monkeypatch.setattr("django.middleware.csrf.CsrfViewMiddleware.process_view", fails)
    answer = browser.get("/enter/")
    (line,) = [r for r in caplog.records if r.name == "siltmark.errors"]
    assert number_on(answer) in line.getMessage()
    assert line.exc_info[0] is OSError


@pytest.mark.parametrize(
    ("address", "status", "said"),
    [
        ("/closed/", 403, "This shelf is locked."),
        ("/gone/", 404, "This label has run out."),
        ("/no/such/page/", 404, "nothing at this address"),
        ("/unreadable/", 400, "could not be read"),
    ],
)
def test_each_error_has_its_page(browser, caplog, address, status, said):
    answer = browser.get(address)
    page = answer.content.decode()
    assert [r for r in caplog.records if r.name == "siltmark.errors"] == [], "an answer is not an error"
    assert answer.status_code == status
    assert said in page
    assert page.count("<h1>") == 1
    assert 'href="/giving/"' in page
    assert "inside of the program" not in page and "Traceback" not in page


def test_djangos_own_sentences_about_a_missing_row_are_not_shown(browser, monkeypatch):
    page = browser.get("/no/such/page/").content.decode()
    assert "tried" not in page and "match" not in page


def test_a_form_from_a_stale_page_says_what_to_do():
    answer = Client(enforce_csrf_checks=True).post("/enter/", {"password": "x"})
    assert answer.status_code == 403
    assert "load it anew" in answer.content.decode()
