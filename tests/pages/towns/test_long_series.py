"""A town of many pieces: the first stand open, the others are folded, all can be ticked."""

from tests import factories


def test_of_many_pieces_the_first_stand_open_and_what_comes_below_is_near(owner_client):
    town = factories.town()
    for _ in range(40):
        factories.find(town=town)
    page = owner_client.get(town.get_absolute_url()).content.decode()
    assert "<summary>16 more, by year</summary>" in page
    before, folded = page.split("16 more, by year", 1)
    assert before.count('<li class="series-row">') == 24
    assert folded.count('<li class="series-row">') == 16
    assert '<ol class="series" start="25">' in folded
    assert page.count('name="find"') == 40


def test_few_pieces_are_not_folded(owner_client):
    town = factories.town()
    for _ in range(32):
        factories.find(town=town)
    page = owner_client.get(town.get_absolute_url()).content.decode()
    assert page.count('<li class="series-row">') == 32 and "more, by year" not in page
