"""Pictures sent while a form is being filled in. Answers are JSON, for the script of the picker."""

from django.http import HttpRequest, JsonResponse
from django.urls import reverse
from django.views.decorators.http import require_POST

from catalogue.access.full_disk import INSUFFICIENT_STORAGE
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.photos.image_file import PictureRefused
from catalogue.photos.models import HeldPicture, Photo
from catalogue.photos.services import hold, let_go
from catalogue.photos.services.uploads import FILES_FIELD, NoRoom, holder_of, known_role, too_heavy


@GET_OR_POST
def hold_one(request: HttpRequest) -> JsonResponse:
    """Keep one picture: 201 with its token and thumbnail, or 400 with the sentence why not.

    Asked with `?sha256=`, whether a form of this user has that picture already: nothing is sent twice.
    """
    if request.method != "POST":
        known = HeldPicture.objects.filter(
            holder=holder_of(request), sha256=request.GET.get("sha256", "")
        ).first()
        return JsonResponse({"there": True, **answer_of(known)} if known else {"there": False})
    upload = request.FILES.get(FILES_FIELD)
    if upload is None:
        large = getattr(request, "too_large", ())
        return refused(too_heavy() if large else "No picture arrived: choose it again.")
    role = known_role(request.POST.get("role"), Photo.Role.DETAIL)
    try:
        held = hold(upload, holder=holder_of(request), role=role)
    except NoRoom as why:
        return JsonResponse({"error": str(why)}, status=INSUFFICIENT_STORAGE)
    except PictureRefused as why:
        return refused(str(why))
    return JsonResponse(answer_of(held), status=201)


def answer_of(held: HeldPicture) -> dict[str, object]:
    """What the picker's script needs to show it."""
    return {
        "token": held.token,
        "thumb": reverse("photos:held", args=[held.token]),
        "name": held.original_name,
        "role": held.role,
        "width": held.width,
        "height": held.height,
    }


@require_POST
def let_one_go(request: HttpRequest, token: str) -> JsonResponse:
    """Take a picture out of the form again."""
    return JsonResponse({"gone": let_go(token, holder=holder_of(request))})


def refused(sentence: str) -> JsonResponse:
    """400 with the sentence why not."""
    return JsonResponse({"error": sentence}, status=400)
