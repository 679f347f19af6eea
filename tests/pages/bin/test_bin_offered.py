"""The page of everything that can go into the bin offers it, and what went in is offered back at once."""

import pytest
from django.urls import reverse
from django.utils import timezone

from catalogue.care.models import SoakReading
from catalogue.pages.bin.views import BIN_KINDS
from catalogue.photos.models import ShelfSession
from catalogue.photos.services import take_in
from catalogue.specimens.models import SavedView
from catalogue.specimens.services.shelf_checks import begin_check, end_check
from tests import factories as make
from tests.pages.history.kinds import pages_of_kinds
from tests.photos.drawn import jpeg
from tests.posted import forms_in


@pytest.fixture
def pages(db, data_folder) -> dict[str, list[tuple[object, str]]]:
    """For each kind of the bin a record that nothing rests on, and its pages."""
    kinds = pages_of_kinds()
    shown = {key: [pair] for key, pair in kinds.items() if key in BIN_KINDS}
    person, (water, _) = make.person(), kinds["soak"]
    reading = SoakReading.objects.create(soak=water, value=300)
    reading_page = reverse("workbench:soak_reading", args=[water.pk, reading.pk])
    view = SavedView.objects.create(name="Blue ones", query="colour=blue")
    place = make.place("Attic")
    shelf = ShelfSession.objects.create(photo=take_in(jpeg(tint=30), subject=place), place=place)
    walk = begin_check(place, with_inside=False)
    site, place_alone = make.site("Lonely Reef"), make.place("Empty case")
    done = begin_check(make.place("Porch"), with_inside=False)
    done = end_check(done, [done.place_id])
    return shown | {
        "site": [(site, site.get_absolute_url())],
        "place": [(place_alone, place_alone.get_absolute_url())],
        "person": [(person, person.get_absolute_url())],
        "reading": [(reading, reading_page)],
        "view": [(view, reverse("finds:saved_views"))],
        "shelf": [(shelf, reverse("finds:shelf_session", args=[shelf.pk]))],
        "check": [(walk, walk.get_absolute_url()), (done, done.get_absolute_url())],
    }


def way_in(html: str, key: str, record) -> tuple[str, dict]:
    """The one form of a page that puts this very record into the bin."""
    named = getattr(record, "number", None) or getattr(record, "slug", None) or record.pk
    ways = (f"/bin/{key}/{record.pk}/", f"/{named}/bin/", f"/{record.pk}/away/", f"/{record.pk}/bin/")
    forms = [(said["action"], values) for said, values in forms_in(html) if said.get("action", "")]
    found = [(action, values) for action, values in forms if action.endswith(ways)]
    assert len({action for action, _ in found}) == 1, [action for action, _ in forms]
    return found[0]


@pytest.mark.parametrize("key", BIN_KINDS)
def test_it_is_offered_puts_it_there_and_is_undone(key: str, pages, owner_client) -> None:
    for record, address in pages[key]:
        page = owner_client.get(address)
        assert page.status_code == 200, address
        action, values = way_in(page.content.decode(), key, record)
        after = owner_client.post(action, values, follow=True)
        assert after.status_code == 200
        record.refresh_from_db(from_queryset=type(record).everything.all())
        assert record.binned_at and record.binned_at <= timezone.now(), key
        backs = (f"/bin/{key}/{record.pk}/back/", "/put-back/", "/back/")
        forms = forms_in(after.content.decode())
        back = [(said["action"], sent) for said, sent in forms if said.get("action", "").endswith(backs)]
        assert back, f"{key}: no way back is offered"
        owner_client.post(*back[0])
        record.refresh_from_db(from_queryset=type(record).everything.all())
        assert record.binned_at is None, key
