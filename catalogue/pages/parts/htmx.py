"""A request as the middleware of django-htmx leaves it, for the type checker."""

from django.http import HttpRequest
from django_htmx.middleware import HtmxDetails


class HtmxRequest(HttpRequest):
    """`htmx` is true where a part of the page is asked for."""

    htmx: HtmxDetails
