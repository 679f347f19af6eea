"""More pictures for something that is in the catalogue already."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_POST

from catalogue.photos.picked import gather

from .getting import back_to, get_subject, tell


@require_POST
def add(request: HttpRequest) -> HttpResponse:
    """Take in what was sent; a refused picture is named and the rest go on."""
    subject = get_subject(request)
    picked = gather(request)
    results = picked.file_under(subject)
    results.failed = [*picked.failed, *results.failed]
    tell(request, results)
    return back_to(request, subject)
