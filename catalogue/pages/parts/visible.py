"""What lets visitors see a find asks first where its words would tell a site that is not shown exactly."""

from collections.abc import Callable

from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from catalogue.giving.told import is_for_visitors, let_it_tell, sites_told_by
from catalogue.pages.parts.sent_again import sent_again
from catalogue.photos.queries import gallery_of
from catalogue.specimens.models import Specimen

ALL_THE_SAME = "all-the-same"
SAID_WHEN_SHOWN = "said when it was shown to visitors"


class TellsSite(Exception):
    """Visitors would read of a site not shown exactly; nothing was done."""

    def __init__(self, find: Specimen, sites: list[str]) -> None:
        super().__init__()
        self.find, self.sites = find, sites


def unless_it_tells(request: HttpRequest, find: Specimen, act: Callable[[Specimen], Specimen]) -> Specimen:
    """Do `act` with a find, and give it as it is then.

    Raises TellsSite, with nothing done, where that would first show visitors a find whose words tell a site
    that is not shown exactly, and the person has not said to do it all the same.
    """
    seen = is_for_visitors(find)
    with transaction.atomic():
        after = act(find)
        if not seen and is_for_visitors(after):
            told = sites_told_by(after, gallery_of(after).photos)
            if told and ALL_THE_SAME not in request.POST:
                raise TellsSite(find, told)
            let_it_tell(after, told, SAID_WHEN_SHOWN)
    return after


def ask_first(request: HttpRequest, tells: TellsSite) -> HttpResponse:
    """The page that says what visitors would read, with a button that does all the same what was asked."""
    context = {"find": tells.find, "sites_told": tells.sites, "sent": sent_again(request, ALL_THE_SAME)}
    return render(request, "pages/parts/asks_first.html", context, status=422)
