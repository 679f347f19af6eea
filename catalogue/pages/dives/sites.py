"""A site: its page, its form, its permissions, its hold."""

from django.contrib import messages
from django.http import FileResponse, Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.positions import LATITUDE, LONGITUDE, in_minutes
from catalogue.giving.told import finds_that_tell
from catalogue.pages.parts.from_bin import record_to_edit
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.series import series_of
from catalogue.pages.parts.undo import say_saved
from catalogue.people.services import person_named
from catalogue.photos.image_file import PictureRefused
from catalogue.photos.queries import gallery_of
from catalogue.photos.services.gps_position import offered_position
from catalogue.photos.services.uploads import position_noted_in, too_heavy
from catalogue.sites.forms import ClearHoldForm, PermissionForm, SiteForm
from catalogue.sites.grounds import outlook
from catalogue.sites.models import Permission, Site
from catalogue.sites.papers import content_type_of, path_of
from catalogue.sites.queries import cleared_before, dives_with_counts, outlook_at, place_for_visitors
from catalogue.sites.services import change_site, clear_hold, keep_permission, keep_site, set_hold_again
from catalogue.specimens import clock
from catalogue.specimens.models import Specimen

from .dives import rows_of_dives
from .set_aside import waits_for_site

PAPER_GONE = "This paper is no longer on the disk: put it back from a copy, or add it again under Change."

# Numbers of finds in a notice before it says how many more.
MOST_LISTED_FINDS = 5


@require_safe
def site(request: HttpRequest, slug: str) -> HttpResponse:
    """A site with what is on record about taking things, its dives and its pieces."""
    return show(request, get_site(slug), ClearHoldForm())


def get_site(slug: str) -> Site:
    """The site with what its page shows of it; 404 where there is none."""
    sites = Site.objects.select_related("hold_cleared_by").prefetch_related("permissions")
    return get_object_or_404(sites, slug=slug)


def show(request: HttpRequest, found: Site, hold_form: ClearHoldForm) -> HttpResponse:
    """The page, also with the form of its hold as it was sent and can't be kept."""
    today = clock.today()
    grounds = outlook_at(found, today)
    return render(
        request,
        "pages/dives/site.html",
        {
            "site": found,
            "told": place_for_visitors(found),
            "grounds": grounds,
            "caution": grounds.caution(str(found)),
            "asked": [(answer, outlook([answer], today)) for answer in found.permissions.all()],
            "cleared_before": cleared_before(found) if found.linked else [],
            "dives": rows_of_dives(dives_with_counts().filter(site=found), found),
            "series": series_of(Specimen.objects.from_site(found)),
            "all_address": f"?site={found.slug}",
            "gallery": gallery_of(found),
            "offered": offered_position(found),
            "permission_form": PermissionForm(),
            "hold_form": hold_form,
        },
        status=422 if hold_form.is_bound else 200,
    )


@GET_OR_POST
@kept_once
def site_form(request: HttpRequest, slug: str | None = None) -> HttpResponse:
    """Add a site, or change one."""
    known = record_to_edit(request, Site.everything.all(), slug=slug) if slug else None
    form = SiteForm(request.POST or None, instance=known)
    if request.method == "POST" and form.is_valid():
        if not known:
            keep_site(form.instance)
        elif change_site(form.instance, form.changed_columns()):
            messages.warning(request, "The hold is set again: it was cleared before that was noted.")
        say_saved(request, form.instance, f"{form.instance.name} is saved.")
        if {"name", "show_as"} & set(form.changed_data):
            say_what_tells(request, form.instance)
        if back := waits_for_site(request):
            return redirect(f"{back}?site={form.instance.slug}")
        return redirect(form.instance)
    status = 422 if request.method == "POST" else 200
    return render(request, "pages/dives/site_form.html", {"form": form, "site": known}, status=status)


def say_what_tells(request: HttpRequest, found: Site) -> None:
    """Say where pieces would tell visitors the site's name: those words are held back from now on."""
    numbers = [find.number for find in finds_that_tell(found)]
    if numbers:
        more = f" and {len(numbers) - MOST_LISTED_FINDS} more" if len(numbers) > MOST_LISTED_FINDS else ""
        listed = ", ".join(numbers[:MOST_LISTED_FINDS])
        messages.warning(
            request,
            f"Visitors don't read the words that tell its name on {listed}{more}: change them, or let them "
            "tell it, on the piece's page.",
        )


@require_POST
def picture_position(request: HttpRequest) -> JsonResponse:
    """What a picture notes of the place, for the form to offer; neither picture nor position is kept."""
    upload = request.FILES.get("picture")
    if upload is None:
        large = getattr(request, "too_large", ())
        return JsonResponse({"error": too_heavy() if large else "No picture arrived: choose it again."})
    try:
        noted = position_noted_in(upload)
    except PictureRefused as refused:
        return JsonResponse({"error": refused.why})
    if noted is None:
        return JsonResponse({"error": "This picture doesn’t say where it was taken."})
    latitude, longitude = (f"{angle:.6f}" for angle in noted)
    words = f"{in_minutes(noted[0], LATITUDE)}, {in_minutes(noted[1], LONGITUDE)}"
    return JsonResponse({"words": words, "latitude": latitude, "longitude": longitude})


@GET_OR_POST
@kept_once
def permission_form(request: HttpRequest, slug: str, pk: int | None = None) -> HttpResponse:
    """Write down an answer about taking things from a site."""
    found = record_to_edit(request, Site.everything.all(), slug=slug)
    known = record_to_edit(request, Permission.everything.all(), pk=pk, site=found) if pk else None
    form = PermissionForm(
        request.POST or None,
        request.FILES or None,
        instance=known,
        too_large=bool(vars(request).get("too_large")),
    )
    if request.method == "POST" and form.is_valid():
        form.instance.site = found
        keep_permission(
            form.instance,
            paper=form.cleaned_data["paper"],
            drop_paper=form.cleaned_data.get("drop_paper", False),
            fields=form.changed_columns() if known else None,
        )
        if known:
            say_saved(request, known, "The answer is on record.")
        else:
            messages.success(request, "The answer is on record.")
        return redirect(found)
    status = 422 if request.method == "POST" else 200
    context = {"form": form, "site": found, "permission": known}
    return render(request, "pages/dives/permission_form.html", context, status=status)


@require_safe
def paper(request: HttpRequest, slug: str, pk: int) -> FileResponse:
    """The letter or permit as it came, only ever as a download: it may hold anything that a file can hold."""
    asked = get_object_or_404(Permission.objects.select_related("site"), pk=pk, site__slug=slug)
    if not asked.file:
        raise Http404("No letter or permit is kept with this answer.")
    name = asked.file.name or ""
    try:
        file = path_of(name).open("rb")
    except OSError:
        raise Http404(PAPER_GONE) from None
    response = FileResponse(
        file, as_attachment=True, filename=asked.paper_name, content_type=content_type_of(name)
    )
    response["X-Content-Type-Options"] = "nosniff"
    response["Cache-Control"] = "private, no-store"
    return response


@require_POST
@kept_once
def clear(request: HttpRequest, slug: str) -> HttpResponse:
    """A person's decision that acid, tumbling and giving away may go on."""
    found = get_site(slug)
    form = ClearHoldForm(request.POST)
    if not form.is_valid():
        messages.error(request, "The hold stays: say why in a few words, and who cleared it.")
        return show(request, found, form)
    if not found.holds:
        reason = form.cleaned_data["reason"]
        messages.warning(
            request, f"The hold was cleared meanwhile, and that reason stays. Yours was: {reason}"
        )
        return redirect(found)
    clear_hold(found, form.cleaned_data["reason"], person_named(form.cleaned_data["by"]))
    messages.success(request, "The hold is cleared; the reason is on record.")
    return redirect(found)


@require_POST
@kept_once
def hold_again(request: HttpRequest, slug: str) -> HttpResponse:
    """A cleared hold is set again by one tap: the safe way needs no reason."""
    found = get_site(slug)
    if found.holds or not found.linked:
        messages.warning(request, "Nothing was changed: no cleared hold stands here.")
    else:
        set_hold_again(found)
        messages.success(request, "The hold is set again. Who cleared it, and why, stays below.")
    return redirect(found)
