"""What a picture shows before anybody says: by where it is added, and how far along the piece is."""

import importlib
import re

import pytest
from django.apps import apps
from django.urls import reverse
from django.utils import timezone

from catalogue.care.models import Treatment
from catalogue.photos.models import CardPicture, Photo
from catalogue.photos.queries import first_role, gallery_of
from catalogue.photos.services import set_cover, set_role, take_in
from catalogue.photos.services.ordering import put_in_order
from tests import factories
from tests.photos.drawn import jpeg


def offered(page: str) -> str:
    """The role that the picker begins with."""
    select = page[page.index('id="pictures-role"') :]
    return re.search(r'<option value="([^"]+)" selected', select[: select.index("</select>")])[1]


@pytest.mark.parametrize(
    ("stage", "cleaned", "role"),
    [
        ("wet", False, "as-found"),
        ("soaking", False, "before"),
        ("cleaning", True, "during"),
        ("drying", True, "after"),
        ("done", True, "after"),
        ("done", False, "detail"),
    ],
)
def test_by_how_far_along_the_piece_is(find, stage, cleaned, role):
    find.stage = stage
    assert first_role(find, cleaned=cleaned) == role


def test_of_a_dive_as_found_of_a_site_a_detail(site):
    assert first_role(factories.dive(at=site)) == "as-found"
    assert first_role(site) == first_role(factories.place()) == "detail"


def test_the_page_of_a_find_offers_it(owner_client, find):
    address = find.get_absolute_url()
    assert offered(owner_client.get(address).content.decode()) == "as-found"
    find.stage = "done"
    find.save()
    assert offered(owner_client.get(address).content.decode()) == "detail"
    Treatment.objects.create(find=find, method="acid-bath", begun=timezone.now())
    assert offered(owner_client.get(address).content.decode()) == "after"
    assert offered(owner_client.get(f"{address}edit/").content.decode()) == "after"
    assert offered(owner_client.get(f"/workbench/{find.number}/condition/parts/").content.decode()) == "after"


def test_what_was_worked_on_is_known_by_its_pictures_too(find):
    find.stage = "done"
    take_in(jpeg(), subject=find, role="as-found")
    assert gallery_of(find).first_role == "after"


def test_a_new_find_from_a_dive_is_shown_as_found(owner_client, db):
    dive = factories.dive()
    assert offered(owner_client.get("/finds/new/").content.decode()) == "detail"
    page = owner_client.get(f"/finds/new/?dive={dive.year}.{dive.ordinal}").content.decode()
    assert offered(page) == "as-found"
    assert offered(owner_client.get(dive.get_absolute_url()).content.decode()) == "as-found"


def test_a_field_tag_never_stands_for_the_find(owner_client, find):
    """Nor where it is the only picture, was chosen before, or comes first in the row."""
    tag = take_in(jpeg(1), subject=find, role="tag")
    assert Photo.objects.covers_of([find.pk]) == {} and gallery_of(find).cover is None
    with pytest.raises(ValueError, match="field tag"):
        set_cover(tag)
    page = owner_client.get(f"{find.get_absolute_url()}?arrange=1").content.decode()
    assert reverse("photos:cover", args=[tag.pk]) not in page
    other = take_in(jpeg(2), subject=find, role="detail")
    assert Photo.objects.covers_of([find.pk])[find.pk] == other
    set_cover(other)
    put_in_order(find, [tag.pk, other.pk])
    tag.refresh_from_db()
    assert not tag.is_cover
    set_cover(other)
    set_role(other, "tag")
    assert not other.is_cover and gallery_of(find).cover is None


def test_tags_of_cards_that_were_filed_before_are_marked(find, site):
    tag = take_in(jpeg(1), subject=find, role="detail", caption="Field tag T-65")
    set_cover(tag)
    other = take_in(jpeg(2), subject=find, role="detail", caption="Field of view")
    facts = {**tag.facts(), "dive": factories.dive(at=site)}
    CardPicture.objects.create(**facts, codes="T-66", role="detail")
    CardPicture.objects.create(**{**facts, "sha256": "b" * 64}, role="detail")
    step = importlib.import_module("catalogue.photos.migrations.0007_tag_role_and_scales")
    step.mark_field_tags(apps, None)
    for photo in (tag, other):
        photo.refresh_from_db()
    assert (tag.role, tag.order, other.role) == ("tag", 1, "detail")
    assert list(CardPicture.objects.order_by("pk").values_list("role", flat=True)) == ["tag", "detail"]


def test_one_save_for_all_leads_back(owner_client, find):
    one, two = (take_in(jpeg(n), subject=find) for n in (1, 2))
    page = owner_client.get(f"{find.get_absolute_url()}?arrange=1").content.decode()
    assert page.count('value="back">Save</button>') == 1
    sent = {f"role-{one.pk}": "after", f"role-{two.pk}": "base", "then": "back"}
    sent |= {f"was-role-{one.pk}": "detail", f"was-role-{two.pk}": "detail"}
    for _ in range(2):  # a second tap changes nothing more
        answer = owner_client.post(f"{reverse('photos:roles')}?find={find.pk}", sent)
        assert answer["Location"] == f"{find.get_absolute_url()}#pictures"
        assert [p.role for p in Photo.objects.order_by("pk")] == ["after", "base"]
