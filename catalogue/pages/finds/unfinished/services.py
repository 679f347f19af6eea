"""Writing down what was seen on the walk."""

from django.db import transaction

from catalogue.photos.services.uploads import Picked
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import Parts, keep_find, move_to
from catalogue.specimens.services.towns import town_named

from .next_form import PLAIN, NextForm
from .walk import pass_by


@transaction.atomic
def keep_seen(find: Specimen, form: NextForm, picked: Picked) -> Specimen:
    """Save what a valid form changed of a find, a mark read, and pictures; then the walk is past it."""
    # Read afresh: what somebody else changed meanwhile stays.
    find = Specimen.objects.select_for_update(of=("self",)).get(pk=find.pk)
    data, changed = form.cleaned_data, set(form.changed_data)
    fields = [name for name in PLAIN if name in changed]
    for name in fields:
        setattr(find, name, data[name])
    if "town" in changed:
        find.town = town_named(data["town"])
        fields.append("town")
    if "site" in changed:
        find.site = data["site"]
        fields.append("site")
    if "recovered" in changed:
        find.recovered_edtf = data["recovered"]
        fields.append("recovered_edtf")
    if "place" in changed:
        move_to(find, data["place"])
    reading = form.reading()
    readings = [*find.readings.all(), reading] if reading else None
    if fields or readings:
        keep_find(find, Parts(readings=readings), fields=fields)
    picked.file_under(find)
    pass_by(find, skipped=False)
    return find
