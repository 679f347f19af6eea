"""Pages of pictures: one seen large, more of them added, put in order, described, binned and put back."""

from collections.abc import Callable

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.giving.told import hold_words_back
from catalogue.pages.parts.from_bin import record_to_edit
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.next_address import next_address
from catalogue.pages.parts.undo import say_saved
from catalogue.photos import services
from catalogue.photos.decoding import is_closer
from catalogue.photos.forms import PhotoForm
from catalogue.photos.models import Photo, Subject
from catalogue.photos.queries import neighbours
from catalogue.photos.services import Results
from catalogue.photos.services.gps_position import camera_position_of
from catalogue.photos.services.uploads import gather
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Site
from catalogue.specimens.models import Specimen

NO_PICTURE = "There is no such picture here, or it is not for visitors."
SUBJECT_KINDS: dict[str, type[Subject]] = {"find": Specimen, "dive": Dive, "site": Site, "place": Place}
MOVE_STEPS = {"earlier": -1, "later": 1}
# The button that also leaves the list.
LEAVE = "back"
ORDER_UNREADABLE = "The order could not be read: open the page again."


def get_photo(request: HttpRequest, pk: int) -> Photo:
    """A picture the one who asks may see; raises Http404 otherwise, the same for missing and hidden."""
    photos = Photo.objects.select_related("find", "dive__site", "site", "place")
    if not request.user.is_authenticated:
        photos = photos.for_visitors()
    photo = photos.filter(pk=pk).first()
    if photo is None:
        raise Http404(NO_PICTURE)
    if photo.find and not request.user.is_authenticated:
        hold_words_back([photo.find], [photo])
    return photo


def get_subject(request: HttpRequest) -> Subject:
    """What `?find=`, `?dive=`, `?site=` or `?place=` names by its key, a find also by its number."""
    for name, kind in SUBJECT_KINDS.items():
        if key := request.GET.get(name, ""):
            column = "number" if kind is Specimen and "." in key else "pk"
            if column == "number" or (key.isascii() and key.isdigit() and len(key) < 19):
                subject: Subject | None = kind._default_manager.filter(**{column: key}).first()
                if subject is not None:
                    return subject
    raise Http404("What the pictures are of is no longer here.")


def page_of(subject: Subject) -> str:
    """The page that shows a subject's pictures."""
    if isinstance(subject, Place):
        return reverse("shelves:place", args=[subject.pk])
    return subject.get_absolute_url()


def back_to(request: HttpRequest, subject: Subject, *, photo: Photo | None = None) -> HttpResponse:
    """To the page the form was on, at its pictures; at that one where they are being arranged."""
    page = next_address(request, page_of(subject))
    at = f"picture-{photo.pk}" if photo and "arrange=" in page else "pictures"
    return redirect(f"{page}#{at}")


def tell(request: HttpRequest, results: Results) -> None:
    """Say how many pictures were taken in, and name each that wasn't."""
    taken = len({photo.pk for photo in results.taken})
    if taken:
        messages.success(request, "1 picture added." if taken == 1 else f"{taken} pictures added.")
    for failed in results.failed:
        messages.error(request, str(failed))


@require_POST
def add(request: HttpRequest) -> HttpResponse:
    """Take in what was sent; a refused picture is named and the rest go on."""
    subject = get_subject(request)
    picked = gather(request)
    results = picked.file_under(subject)
    results.failed = [*picked.failed, *results.failed]
    tell(request, results)
    return back_to(request, subject)


@login_not_required
@require_safe
def look(request: HttpRequest, pk: int) -> HttpResponse:
    """For the owner; for a visitor where the find and this picture of it may be seen."""
    photo, owner = get_photo(request, pk), request.user.is_authenticated
    row = neighbours(photo, visitor=not owner)
    page = {
        "photo": photo,
        "of": photo.find.what if photo.find else str(photo.subject),
        "back": page_of(photo.subject),
        "earlier": row.earlier,
        "later": row.later,
        "place": row.place,
        "count": row.count,
        "close": address_close(photo, owner=owner),
        "where": camera_position_of(photo) if owner else None,
    }
    return render(request, "pages/photos/look.html", page)


def address_close(photo: Photo, *, owner: bool) -> str:
    """The finest copy that the one who looks may see: for a visitor the large one."""
    if owner and is_closer(photo.width, photo.height):
        return reverse("photos:close", args=[photo.pk])
    return reverse("photos:size", args=[photo.pk, "large"])


@require_POST
def order(request: HttpRequest) -> HttpResponse:
    """`order` is every picture's key, parted by commas. 409 where the pictures are others by now."""
    subject = get_subject(request)
    try:
        services.put_in_order(subject, keys_in(request.POST.get("order", "")))
    except ValueError as why:
        if request.accepts("text/html"):
            messages.error(request, str(why))
            return back_to(request, subject)
        return JsonResponse({"error": str(why)}, status=409)
    return back_to(request, subject) if request.accepts("text/html") else JsonResponse({"kept": True})


def keys_in(text: str) -> list[int]:
    """The keys of "3,1,2". Raises ValueError for anything else."""
    words = text.split(",")
    if not all(map(is_key, words)):
        raise ValueError(ORDER_UNREADABLE)
    return [int(word) for word in words]


def is_key(word: str) -> bool:
    """Whether it can be the key of a row."""
    return word.isascii() and word.isdigit() and len(word) < 19


@require_POST
def roles(request: HttpRequest) -> HttpResponse:
    """What the pictures of a subject show, as the list says that they are arranged in."""
    subject = get_subject(request)
    wrong = keep_roles(request, subject)
    if request.accepts("text/html"):
        if wrong:
            messages.error(request, wrong)
        elif request.POST.get("then") == LEAVE:
            messages.success(request, "What the pictures show is saved.")
            return redirect(f"{page_of(subject)}#pictures")
        return back_to(request, subject)
    return JsonResponse({"error": wrong} if wrong else {"kept": True}, status=400 if wrong else 200)


def keep_roles(request: HttpRequest, subject: Subject) -> str:
    """Keep each role that was changed on the page; the sentence where one is none.

    The page says which it showed (`was-role-`): one left as it was does not undo another page's.
    """
    sent = {
        name.removeprefix("role-"): role
        for name, role in request.POST.items()
        if name.startswith("role-") and role != request.POST.get(f"was-{name}")
    }
    chosen = {int(key): str(role) for key, role in sent.items() if is_key(key)}
    told = [
        f"Another page said meanwhile that a picture shows: {Photo.Role(now).label}. "
        f"Yours was: {Photo.Role(chosen.pop(pk)).label}."
        for pk, now in subject.photos.filter(pk__in=chosen).values_list("pk", "role")
        if request.POST.get(f"was-role-{pk}", now) not in (now, "")
        and chosen[pk] in set(Photo.Role.values) - {now}
    ]
    try:
        services.set_roles(subject, chosen)
    except ValueError:
        return "Choose one of the roles in the list."
    return " ".join(told)


@require_POST
def make_cover(request: HttpRequest, pk: int) -> HttpResponse:
    """It stands for its subject from now on."""
    return change(request, pk, services.set_cover)


@require_POST
def move(request: HttpRequest, pk: int, where: str) -> HttpResponse:
    """One place earlier or later in its row."""
    return change(request, pk, lambda photo: services.move(photo, MOVE_STEPS[where]))


@require_POST
def put_in_bin(request: HttpRequest, pk: int) -> HttpResponse:
    """Out of sight; the page then offers to put it back."""
    response = change(request, pk, services.put_in_bin)
    messages.success(request, "Picture put in the bin. “Restore” stands below the pictures.")
    return response


@require_POST
def put_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Out of the bin again."""
    photo = Photo.everything.in_bin().filter(pk=pk).first()
    if photo is None:
        raise Http404(NO_PICTURE)
    back = services.take_out_of_bin(photo)
    messages.success(request, "Picture put back.")
    return back_to(request, back.subject)


@require_POST
def use_position(request: HttpRequest, pk: int) -> HttpResponse:
    """The camera's position becomes the site's: the owner asked for it."""

    def use(photo: Photo) -> None:
        site = services.use_position(photo)
        messages.success(request, f"{site} has this position now; change it on the site's own page.")

    return change(request, pk, use)


def change(request: HttpRequest, pk: int, how: Callable[[Photo], object]) -> HttpResponse:
    """Do one thing to a picture and go back; what can't be done is said in a sentence."""
    photo = get_photo(request, pk)
    # Roles that were changed beside it in the list are not lost by another button of that list.
    if wrong := keep_roles(request, photo.subject):
        messages.error(request, wrong)
    photo.refresh_from_db()
    try:
        how(photo)
    except ValueError as why:
        messages.error(request, str(why))
    return back_to(request, photo.subject, photo=photo if photo.binned_at is None else None)


@GET_OR_POST
@kept_once
def words(request: HttpRequest, pk: int) -> HttpResponse:
    """Caption, credit, licence, source, and whether visitors may see it."""
    pictures = Photo.everything.select_related("find", "dive__site", "site", "place")
    photo = record_to_edit(request, pictures, pk=pk)
    form = PhotoForm(request.POST or None, instance=photo)
    if request.method == "POST" and form.is_valid():
        services.describe(photo, form.changed_data)
        say_saved(request, photo, "What is written of the picture is saved.")
        return back_to(request, photo.subject)
    page = {"form": form, "photo": photo, "back": page_of(photo.subject)}
    return render(request, "pages/photos/words.html", page, status=422 if form.errors else 200)
