"""The list of finds where there are none, undated ones alone, or more than a page."""

from tests import factories

from .browse_parts import listed


def test_no_finds_yet_invites_to_record_one(owner_client, db):
    text = owner_client.get("/finds/").content.decode()
    assert "No finds yet" in text
    assert "Nothing is like that" in owner_client.get("/finds/?q=absent").content.decode()


def test_numbers_sort_by_their_integers_newest_first(owner_client, db):
    for i in range(11):
        factories.find(f"piece {i + 1}")
    names = listed(owner_client)
    assert names[:3] == ["piece 11", "piece 10", "piece 9"]
    assert listed(owner_client, "?sort=-number")[0] == "piece 1"


def test_a_page_past_the_end_is_the_last_page(owner_client, db):
    for i in range(50):
        factories.find(f"piece {i}")
    answer = owner_client.get("/finds/?page=999999")
    assert answer.context["page"].number == 2
    assert len(answer.context["cards"]) == 18


def test_without_a_dated_piece_there_is_no_ruler(owner_client, db):
    factories.find("Plain flask")
    assert owner_client.get("/finds/").context["sum"] is None
    assert owner_client.get("/finds/?years_from=1900").context["sum"].dated == 0
