"""A dive form set aside while its site is added: what was typed waits in the session and comes back."""

from typing import Final

from django.http import HttpRequest, QueryDict

SESSION_KEY: Final = "dive_form_set_aside"
ADD_SITE: Final = "add-site"
THEN_BACK: Final = "then=dive"
LEFT_OUT = ("csrfmiddlewaretoken", "act", "once", "seen")


def set_aside_typed(request: HttpRequest) -> None:
    """Keep what this form was sent with, for the page that it was sent from."""
    typed = request.POST.copy()
    for name in LEFT_OUT:
        typed.pop(name, None)
    request.session[SESSION_KEY] = [request.path, typed.urlencode()]


def waits_for_site(request: HttpRequest) -> str:
    """The page of the dive form for which a site is being added; empty where there is none."""
    waiting = request.session.get(SESSION_KEY) if request.GET.urlencode() == THEN_BACK else None
    return str(waiting[0]) if waiting else ""


def take_typed(request: HttpRequest) -> QueryDict | None:
    """What was set aside of this page's form, once; None where nothing was."""
    path, typed = request.session.get(SESSION_KEY) or ("", "")
    if path != request.path:
        return None
    del request.session[SESSION_KEY]
    return QueryDict(typed)
