"""Which HTTP methods a view answers."""

from django.views.decorators.http import require_http_methods

GET_OR_POST = require_http_methods(["GET", "HEAD", "POST"])
