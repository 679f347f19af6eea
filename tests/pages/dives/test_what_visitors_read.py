"""The setting of a site says what visitors read, and saving it says who tells the name all the same."""

import pytest

from catalogue.giving.told import finds_that_tell
from catalogue.sites.models import Site
from tests import factories as make
from tests.posted import forms_in

pytestmark = pytest.mark.django_db
WHERE = {"latitude": "44.51", "longitude": "-67.28", "water_body": "Velmoor Sound"}


def changed(owner_client, site: Site, **given: str) -> str:
    """The page after the site's form was sent with these values."""
    address = f"{site.get_absolute_url()}edit/"
    (values,) = [
        values for _, values in forms_in(owner_client.get(address).content.decode()) if "show_as" in values
    ]
    answer = owner_client.post(address, {**values, **given}, follow=True)
    assert answer.redirect_chain, "the form was refused"
    return answer.content.decode()


@pytest.mark.parametrize(
    ("show_as", "words"),
    [
        ("hidden", "nothing of it"),
        ("rounded", "“It lay in: Velmoor Sound, about 44° 33′ N, 67° 15′ W (rounded to 0.1°).”"),
        ("exact", "“It lay in: Tallow Cove, Velmoor Sound.”"),
    ],
)
def test_the_sites_page_says_what_visitors_read(owner_client, client, show_as: str, words: str) -> None:
    site = make.site("Tallow Cove", show_as=show_as, **WHERE)
    page = owner_client.get(site.get_absolute_url()).content.decode()
    assert f"<dt>Visitors read</dt><dd>{words}</dd>" in page
    find = make.find(dive=make.dive(site), shared=True)
    seen = client.get(find.get_absolute_url()).content.decode()
    assert (words.strip("“”") in seen) == (show_as != "hidden")


def test_the_form_names_each_setting_by_what_is_read(owner_client) -> None:
    page = owner_client.get("/dives/sites/new/").content.decode()
    for words in ("What visitors read of it", "its name and its water", "rounded to 0.1°", "It lay in"):
        assert words in page
    (values,) = [values for _, values in forms_in(page) if "show_as" in values]
    assert values["show_as"] == ["hidden"], "nothing, until the owner says otherwise"


def test_a_site_hidden_later_names_the_pieces_that_tell_it(owner_client) -> None:
    site = make.site("Tallow Cove", show_as="exact")
    tells = make.find("Jar", story="It lay by the posts of Tallow  Cove.", shared=True)
    make.find("Bottle", story="Tallow Cove, seen by nobody.")
    make.find("Flask", story="It lay in the silt.", shared=True)
    page = changed(owner_client, site, show_as="hidden")
    assert f"Visitors don&#x27;t read the words that tell its name on {tells.number}: change them" in page
    assert "the words that tell its name" not in changed(owner_client, site, notes="Silt."), (
        "asked once, not each time"
    )
    assert "the words that tell its name" not in changed(owner_client, site, show_as="exact")


def test_a_new_site_and_a_new_name_are_looked_for_too(owner_client) -> None:
    finds = [make.find("Jar", story="It lay in Tallow Cove.", shared=True) for _ in range(7)]
    sent = {"name": "Tallow Cove", "show_as": "rounded", "tidal": "no", "wreck": "no", "military": "no"}
    page = owner_client.post("/dives/sites/new/", sent, follow=True).content.decode()
    latest = ", ".join(find.number for find in reversed(finds[2:]))
    assert f"the words that tell its name on {latest} and 2 more: change them" in page
    other = make.site("Other Reef")
    assert "the words that tell its name" not in changed(owner_client, other, name="Another Reef")


@pytest.mark.parametrize("count", [2, 10])
def test_looking_for_them_takes_four_queries(count: int, django_assert_num_queries) -> None:
    site = make.site("Tallow Cove")
    for _ in range(count):
        make.find("Jar", story="It lay in Tallow Cove.", shared=True)
    with django_assert_num_queries(4):
        assert finds_that_tell(site)
