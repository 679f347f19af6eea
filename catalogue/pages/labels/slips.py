"""The slip that goes with a piece."""

import json

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from catalogue.giving.services import open_handover
from catalogue.giving.slip import slip_words
from catalogue.labels.slip import SLIP_PAGES, SlipText, slip
from catalogue.pages.parts.find_lookup import plain_find


@require_safe
def slip_pdf(request: HttpRequest, number: str) -> HttpResponse:
    """The slip as PDF: as it was when the piece left, else as it would be today. `?size=A6`: a small one."""
    find = plain_find(number)
    given = open_handover(find)
    words = json.loads(given.slip) if given and given.slip else slip_words(find)
    if given and given.person and not given.person.erased_at:
        words["handed_over"] = f"to {given.person}, {words['handed_over']}"
    size = request.GET.get("size", "A5")
    made = slip(SlipText(**words), size=size if size in SLIP_PAGES else "A5")
    answer = HttpResponse(made, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="slip-{find.number}.pdf"'
    return answer
