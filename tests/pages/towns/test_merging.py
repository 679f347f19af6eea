"""Merging on the page: choose, see what moves, do it, undo it; old addresses lead on."""

import pytest

from catalogue.common.models import Merge
from catalogue.specimens.models import Specimen, Town
from catalogue.specimens.services.towns import town_named
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def pair() -> tuple[Town, Town]:
    kept, gone = town_named("Portland, Me."), town_named("PORTLAND")
    factories.find(town=gone)
    return kept, gone


def test_what_moves_is_shown_first_and_nothing_is_done(owner_client, pair):
    kept, gone = pair
    chosen = owner_client.get(f"/towns/{gone.slug}/merge/").content.decode()
    assert f"?into={kept.pk}" in chosen and f"?into={gone.pk}" not in chosen
    own = owner_client.get(f"/towns/{kept.slug}/merge/?q=Portland, ME").content.decode()
    assert f"?into={kept.pk}" not in own and "No town is called" not in own
    none = owner_client.get(f"/towns/{kept.slug}/merge/?q=Quarl").content.decode()
    assert "No other town is called anything like “Quarl”." in none
    page = owner_client.get(f"/towns/{gone.slug}/merge/?into={kept.pk}").content.decode()
    assert "<li>1 find</li>" in page and "Merge the two" in page
    assert not Merge.objects.exists()


def test_merged_the_old_address_leads_on_and_undo_brings_it_back(owner_client, pair):
    kept, gone = pair
    done = owner_client.post(f"/towns/{gone.slug}/merge/", {"into": kept.pk})
    assert done["Location"] == kept.get_absolute_url()
    assert owner_client.get(f"/towns/{gone.slug}/")["Location"] == kept.get_absolute_url()
    page = owner_client.get(kept.get_absolute_url()).content.decode()
    undo = f"/towns/merges/{Merge.objects.get().pk}/undo/"
    assert page.count(undo) == 2  # in the notice, and where it stays
    assert owner_client.post(undo)["Location"] == gone.get_absolute_url()
    assert Specimen.objects.get().town == gone
    assert undo not in owner_client.get(kept.get_absolute_url()).content.decode()


def test_itself_and_a_town_that_is_none_are_refused_by_the_field(owner_client, pair):
    _, gone = pair
    for into in (str(gone.pk), "999999", "", "x" * 300, "-1", "9" * 30):
        answer = owner_client.post(f"/towns/{gone.slug}/merge/", {"into": into})
        assert answer.status_code == 422 and answer.content.count(b'role="alert"') == 1
    assert not Merge.objects.exists()


def test_of_two_at_once_the_second_is_told(owner_client, pair):
    kept, gone = pair
    owner_client.post(f"/towns/{gone.slug}/merge/", {"into": kept.pk})
    late = owner_client.post(f"/towns/{gone.slug}/merge/", {"into": kept.pk})
    assert late["Location"] == kept.get_absolute_url() and Merge.objects.count() == 1
    told = owner_client.get(late["Location"]).content.decode()
    assert "was merged into Portland, ME already" in told


def test_a_ring_and_two_that_merge_crosswise_are_told_what_was_merged(owner_client, pair):
    """The second one chose a town that is another by now; a name with a sign of formatting does no harm."""
    kept, gone = pair
    Town.objects.filter(pk=gone.pk).update(name="100 %s PORTLAND")
    owner_client.post(f"/towns/{gone.slug}/merge/", {"into": kept.pk})
    back = owner_client.post(f"/towns/{kept.slug}/merge/", {"into": gone.pk})
    told = back.content.decode()
    assert back.status_code == 422 and Merge.objects.count() == 1
    said = "100 %s PORTLAND was merged into Portland, ME already. Undo that first, or choose another."
    assert said in told


def test_a_town_in_the_bin_that_was_not_merged_has_no_page(owner_client, pair):
    _, gone = pair
    gone.put_in_bin()
    assert owner_client.get(f"/towns/{gone.slug}/").status_code == 404


def test_visitors_are_sent_to_the_door(client, pair):
    kept, gone = pair
    answer = client.post(f"/towns/{gone.slug}/merge/", {"into": kept.pk})
    assert "/enter/" in answer["Location"] and not Merge.objects.exists()
