"""A symbol that came with a maker of one's own can be tapped wherever a mark is read."""

import pytest

from catalogue.specimens.models import Specimen
from catalogue.specimens.services.makers import put_maker_in_bin, take_maker_back
from tests import factories

pytestmark = pytest.mark.django_db


def test_an_own_symbol_is_offered_for_reading_and_dates(owner_client):
    factories.brackwater()
    assert 'value="wave"' in owner_client.get("/finds/new/").content.decode()
    assert 'value="wave"' in owner_client.get("/date/").content.decode()
    data = {
        "what": "Ginger beer", "readings-TOTAL_FORMS": "1", "readings-INITIAL_FORMS": "0",
        "readings-0-where": "base", "readings-0-letters": "BW", "readings-0-symbol": "wave",
        "readings-0-right": "6", "readings-0-certainty": "certain",
    }  # fmt: skip
    answer = owner_client.post("/finds/new/", data)
    assert answer.status_code == 302
    find = Specimen.objects.get()
    assert find.readings.get().symbol == "wave"
    assert find.made_words == "one of 1926, 1936, 1946"


def test_it_is_not_offered_while_its_maker_lies_in_the_bin(owner_client):
    maker = factories.brackwater()
    put_maker_in_bin(maker)
    assert 'value="wave"' not in owner_client.get("/finds/new/").content.decode()
    take_maker_back(maker)
    assert 'value="wave"' in owner_client.get("/finds/new/").content.decode()
