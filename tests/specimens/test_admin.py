"""The plain administration pages of this room: they open, they search, and what they change is dated."""

import pytest

from catalogue.specimens.models import KnownYears, Specimen
from catalogue.specimens.services import Parts
from tests import factories

pytestmark = pytest.mark.django_db
KINDS = ["specimen", "maker", "town", "bottler", "product", "opinion", "move"]


@pytest.mark.parametrize("kind", KINDS)
def test_lists_open_and_search(owner_client, kind):
    factories.find(town=factories.town(), bottler=factories.bottler(), place=factories.place())
    factories.brackwater()
    for query in ("", "?q=marrowby"):
        assert owner_client.get(f"/admin/specimens/{kind}/{query}").status_code == 200


def test_a_change_there_is_dated_and_found(owner_client):
    find = factories.find(parts=Parts(known=[KnownYears(what="directory", from_year=1884, to_year=1890)]))
    page = f"/admin/specimens/specimen/{find.pk}/change/"
    form = owner_client.get(page).context["adminform"].form
    data = {name: form[name].value() or "" for name in form.fields}
    data["what"] = "Lemonade bottle"
    known = find.known_years.get()
    for prefix in ("inscriptions", "readings", "features"):
        data |= {f"{prefix}-TOTAL_FORMS": "0", f"{prefix}-INITIAL_FORMS": "0"}
    data |= {
        "known_years-TOTAL_FORMS": "1", "known_years-INITIAL_FORMS": "1", "known_years-0-id": str(known.pk),
        "known_years-0-find": str(find.pk), "known_years-0-what": "directory",
        "known_years-0-from_year": "1885",
        "known_years-0-to_year": "1885", "known_years-0-certainty": "certain",
    }  # fmt: skip
    assert owner_client.post(page, data).status_code == 302
    fresh = Specimen.objects.get()
    assert fresh.made_words == "1885"
    assert Specimen.objects.matching("lemonade").get() == fresh


def test_finds_and_makers_are_added_by_the_catalogue_alone(owner_client):
    for kind in ("specimen", "maker"):
        assert owner_client.get(f"/admin/specimens/{kind}/add/").status_code == 403


def test_a_visitor_is_sent_away(client):
    assert client.get("/admin/specimens/specimen/").status_code == 302
