"""Where a small form leads back to: the page it stood on."""

from django.http import HttpRequest
from django.utils.http import url_has_allowed_host_and_scheme


def next_address(request: HttpRequest, otherwise: str) -> str:
    """The address in the form's `next` field where it is one of ours, else `otherwise`."""
    wanted = request.POST.get("next", "")
    if wanted.startswith("/") and url_has_allowed_host_and_scheme(wanted, allowed_hosts=None):
        return wanted
    return otherwise
