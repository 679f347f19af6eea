"""Where a small form leads back to: the page it stood on."""

from django.http import HttpRequest
from django.utils.http import url_has_allowed_host_and_scheme


def next_address(request: HttpRequest, otherwise: str) -> str:
    """The address in the form's `next` field, or the page's own, where it is one of ours; else `otherwise`.

    One of ours begins with a slash: anything else would be looked up as the name of a page.
    """
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    if wanted.startswith("/") and url_has_allowed_host_and_scheme(wanted, allowed_hosts=None):
        return wanted
    return otherwise
