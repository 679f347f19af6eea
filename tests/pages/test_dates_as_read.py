"""Every kind of page writes days and times as its reader does, also where Python builds the sentence."""

import datetime
import re
from collections.abc import Callable

import pytest
from django.utils import timezone

from catalogue.care.models import ConditionReport, Treatment
from catalogue.giving.services import hand_over, promise
from catalogue.photos.models import Photo
from catalogue.photos.services import take_in
from catalogue.sites.models import Permission
from catalogue.specimens.models import Specimen
from tests import factories as make
from tests.pages.pictures import picture

pytestmark = pytest.mark.django_db
DAY = datetime.date(2025, 3, 14)
AT = timezone.make_aware(datetime.datetime(2025, 3, 14, 15, 9))
# A British day or a time of 24 hours, as a reader in the United States is never shown.
BRITISH = re.compile(r"\b14 Mar\b|\b14 March\b|\b15:09\b")
AMERICAN = re.compile(r"Mar 14(, 2025)?|3:09 PM")


@pytest.fixture
def kept() -> Specimen:
    """A find of a dive by a permission, looked at, treated, promised."""
    site = make.site()
    Permission.objects.create(site=site, basis="licence", valid_to=DAY)
    find = make.find(dive=make.dive(site, DAY), stage="done")
    ConditionReport.objects.create(find=find, on=DAY, grade="sound")
    Treatment.objects.create(find=find, method="scrape", begun=AT, ended=AT)
    return find


def shown(client, address: str, language: str) -> str:
    answer = client.get(address, headers={"Accept-Language": language})
    assert answer.status_code == 200, address
    words = re.sub(r"<input[^>]*>|<time datetime=[^>]*>", "", answer.content.decode())
    return " ".join(re.sub(r"<[^>]*>", " ", words).split())


ADDRESSES: dict[str, Callable[[Specimen], str]] = {
    "a find": lambda find: find.get_absolute_url(),
    "its changes": lambda find: f"{find.get_absolute_url()}changes/",
    "its record of treatment": lambda find: f"/workbench/{find.number}/record/",
    "its bench": lambda find: f"/workbench/{find.number}/",
    "a site": lambda find: find.dive.site.get_absolute_url(),
    "a dive": lambda find: find.dive.get_absolute_url(),
    "dives": lambda find: "/dives/",
    "the form of a find": lambda find: "/finds/new/",
}


@pytest.mark.parametrize("kind", ADDRESSES)
def test_a_page_writes_days_as_its_reader_does(owner_client, kept: Specimen, kind: str) -> None:
    address = ADDRESSES[kind](kept)
    british, american = (shown(owner_client, address, each) for each in ("en-GB", "en-US"))
    assert BRITISH.search(british), british
    assert AMERICAN.search(american) and not BRITISH.search(american), BRITISH.findall(american)


def test_home_and_giving_tell_of_promises_so_too(owner_client, kept: Specimen) -> None:
    made = promise(kept, make.person(), on=DAY)
    # It lapsed since.
    made.until = DAY
    made.save()
    for address in ("/", "/giving/"):
        assert "14 Mar" in shown(owner_client, address, "en-GB")
        told = shown(owner_client, address, "en-US")
        assert "Mar 14" in told and not BRITISH.search(told)


def test_when_a_picture_was_taken_is_told_so_by_the_clock_on_the_spot(
    owner_client, data_folder, kept: Specimen
) -> None:
    photo = take_in(picture(), subject=kept)
    Photo.objects.filter(pk=photo.pk).update(taken_at=AT)
    assert "14 Mar 2025, 15:09" in shown(owner_client, f"/photos/{photo.pk}/", "en-GB")
    assert "Mar 14, 2025, 3:09 PM" in shown(owner_client, f"/photos/{photo.pk}/", "en-US")


def test_messages_are_written_for_whoever_reads_them(owner_client, kept: Specimen) -> None:
    hand_over(kept, make.person(), on=datetime.date(2099, 1, 2))
    american = {"Accept-Language": "en-US"}
    said = owner_client.post(f"/giving/{kept.number}/came-back/", headers=american, follow=True)
    assert "before it went, on Jan 2, 2099" in said.content.decode()
