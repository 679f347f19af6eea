"""Pictures taken in for a find, a dive, a site or a place."""

from collections.abc import Iterable

from django.db import transaction
from django.db.models import Max, Model

from catalogue.photos.intake import PictureRefused
from catalogue.photos.models import Photo
from catalogue.photos.worker import sizes_soon

from .results import Failed, Results
from .storing import Source, shown_name, store, too_heavy


def take_in(upload: Source, *, subject: Model, role: str = Photo.Role.DETAIL, **about: object) -> Photo:
    """Keep a picture of `subject`; `about` may be caption, credit, licence, source, opened.

    The same picture of the same subject is kept once: the one already there comes back, out of the bin if it
    was in it. Raises PictureRefused with one sentence, and then nothing is kept.
    """
    # Looked at first: a mistake of the caller's must not leave a file behind.
    Photo.subject_name(subject)
    role = Photo.Role(role)
    return file_under(subject, store(upload), role=role, **about)


def take_in_many(
    uploads: Iterable[Source],
    *,
    subject: Model,
    role: str = Photo.Role.DETAIL,
    too_large: Iterable[str] = (),
) -> Results:
    """Take in each; one that is refused is named with its reason and the rest go on.

    `too_large` are the names of files that were already stopped on their way in (`request.too_large`).
    """
    results = Results(failed=[Failed(name, too_heavy()) for name in too_large])
    for upload in uploads:
        try:
            results.taken.append(take_in(upload, subject=subject, role=role))
        except PictureRefused as refused:
            results.failed.append(Failed(shown_name(upload), refused.why))
    return results


@transaction.atomic
def file_under(
    subject: Model, facts: dict[str, object], *, role: str = Photo.Role.DETAIL, **about: object
) -> Photo:
    """Write the row for a stored picture, unless the subject has it. Raises ValueError for no role."""
    role, name = Photo.Role(role), Photo.subject_name(subject)
    # Two uploads for one subject take turns, so that neither doubles a picture nor shares a place.
    type(subject)._base_manager.select_for_update().get(pk=subject.pk)
    of_subject = Photo.everything.of(subject)
    there = of_subject.filter(sha256=facts["sha256"]).order_by("-binned_at", "pk")
    known = there.filter(binned_at__isnull=True).first() or there.first()
    if known is not None:
        if known.binned_at is not None:
            known.take_out_of_bin()
        return known
    last = of_subject.aggregate(last=Max("order"))["last"] or 0
    photo = Photo(role=role, order=last + 1, **facts, **about)
    setattr(photo, name, subject)
    photo.sizes_made = sizes_soon(photo.sha256, photo.format)
    photo.save()
    return photo
