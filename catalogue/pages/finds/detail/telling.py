"""Words of a find that tell visitors a hidden site: let them, with a word why, or hold them back again."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.giving.told import hold_it_back, let_it_tell, sites_told_by
from catalogue.pages.parts.find_lookup import plain_find
from catalogue.pages.parts.typed_text import text_typed
from catalogue.photos.queries import gallery_of


@require_POST
@kept_once
def tell(request: HttpRequest, number: str) -> HttpResponse:
    """Let visitors read them; why is kept."""
    find = plain_find(number)
    why = " ".join(text_typed(request, "why", "Why").split())
    told = sites_told_by(find, gallery_of(find).photos)
    if not why:
        messages.error(request, "Say in a word why visitors may read it. Nothing was changed.")
    elif told:
        let_it_tell(find, told, why)
        messages.success(request, f"Visitors now read of {' and '.join(told)} in the words of {number}.")
    return redirect(f"{find.get_absolute_url()}#sites-told")


@require_POST
@kept_once
def hold_back(request: HttpRequest, number: str) -> HttpResponse:
    """Hold them back again."""
    find = plain_find(number)
    if hold_it_back(find):
        messages.success(request, f"The words of {number} that tell a hidden site are held back again.")
    return redirect(f"{find.get_absolute_url()}#sites-told")
