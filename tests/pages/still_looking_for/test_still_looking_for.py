"""The screen of what is still looked for: wishes, missing years, the notice on recording, the card."""

import io
import re

import pypdfium2
import pytest

from catalogue.pages.still_looking_for.fills import _still, gaps_filled
from catalogue.pages.still_looking_for.missing import year_runs
from catalogue.specimens.models import Maker, MarkReading, OwnCode, OwnMark, Specimen, Wish
from catalogue.specimens.services import Parts
from catalogue.specimens.services.makers import keep_maker
from catalogue.specimens.services.towns import bottler_named, product_named
from tests import factories
from tests.pages.finds.form.record_form import filled, reading
from tests.posted import opened

pytestmark = pytest.mark.django_db
SCREEN = "/still-looking-for/"


@pytest.fixture
def tern() -> Maker:
    """Two figures of the year at the right, for six years."""
    return keep_maker(
        Maker(name="Tern & Hollis"),
        marks=[OwnMark(letters="TH", from_year=1934, to_year=1939)],
        codes=[OwnCode(kind="last-two-digits", position="right", valid_from=1934, valid_to=1939)],
    )


def of_year(digits: str, **given: object) -> Specimen:
    parts = Parts(readings=[MarkReading(letters="TH", right=digits)])
    return factories.find(parts=parts, **given)


def record(owner_client, digits: str, **fields: object) -> str:
    """Record one at the form; the page that follows."""
    sent = filled(readings=[reading(letters="TH", right=digits)], **fields)
    return owner_client.post("/finds/new/", sent, follow=True).content.decode()


def test_runs_of_years_are_said_as_runs():
    assert year_runs([1927, 1922, 1923, 1925, 1924]) == "1922–1925, 1927"
    assert year_runs([]) == ""


def test_makers_of_which_there_are_pieces_are_listed_with_their_missing_years(owner_client, tern):
    assert "Tern" not in owner_client.get(SCREEN).content.decode()
    of_year("35"), of_year("36"), of_year("36")
    page = owner_client.get(SCREEN).content.decode()
    assert "4 of 6 years missing: 1934, 1937–1939" in page
    assert page.count("<h1>") == 1


def test_a_maker_is_left_out_and_listed_again_as_the_owner_likes(owner_client, tern):
    of_year("35")
    listed = lambda: "years missing:" in owner_client.get(SCREEN).content.decode()  # noqa: E731
    owner_client.post(f"{SCREEN}years/{tern.slug}/", {"look": "0"})
    assert not listed() and "Left out" in owner_client.get(SCREEN).content.decode()
    owner_client.post(f"{SCREEN}years/{tern.slug}/", {"look": "1"})
    Specimen.objects.all().delete()
    assert listed()


def test_a_maker_whose_years_are_all_there_is_not_listed(owner_client, tern):
    for year in range(34, 40):
        of_year(str(year))
    assert "Tern" not in owner_client.get(SCREEN).content.decode()


def test_a_find_that_fills_a_gap_says_so_when_it_is_recorded_and_only_the_first(owner_client, tern):
    of_year("35")
    assert "It fills a gap: Tern &amp; Hollis 1936. Still looking for 1934, 1937–1939." in record(
        owner_client, "36"
    )
    assert "fills a gap" not in record(owner_client, "36")


def test_it_is_said_once_and_not_at_each_edit(owner_client, tern):
    record(owner_client, "36")
    find = Specimen.objects.get()
    row = find.readings.get()
    sent = filled(readings=[reading(letters="TH", right="36", id=row.pk)], notes="Chipped.")
    sent["readings-INITIAL_FORMS"] = "1"
    page = owner_client.post(f"/finds/{find.number}/edit/", sent, follow=True).content.decode()
    assert "are saved" in page and "fills a gap" not in page
    sent["readings-0-right"] = "37"
    page = owner_client.post(f"/finds/{find.number}/edit/", sent, follow=True).content.decode()
    assert "It fills a gap: Tern &amp; Hollis 1937" in page


def test_a_look_answered_on_a_finds_page_says_what_it_fills(owner_client, tern):
    of_year("35")
    mark = MarkReading(letters="TH", frame="none", arrangement="plain")
    find = factories.find(parts=Parts(readings=[mark]))
    address, data = opened(owner_client, f"/finds/{find.number}/?look", "/beside/", characters="36")
    page = owner_client.post(address, data, follow=True).content.decode()
    assert "Recorded: 36" in page
    assert "It fills a gap: Tern &amp; Hollis 1936. Still looking for 1934, 1937–1939." in page


def test_so_does_an_opinion(owner_client, tern):
    Wish.objects.create(maker=tern)
    find = factories.find("Amber flask")
    for said in (True, False):
        typed = {"about": "maker", "value": tern.name}
        address, data = opened(owner_client, find.get_absolute_url(), "/opinion/", **typed)
        page = owner_client.post(address, data, follow=True).content.decode()
        assert "The opinion is saved" in page and ("what you look for" in page) is said


def test_many_years_missing_are_not_all_read_out_in_a_notice():
    assert _still([1934]) == "Still looking for 1934."
    assert _still(range(1900, 1960)) == "Still looking for 1900–1911 and 48 more."
    assert _still([]) == "None of its years is missing any more."


def test_what_many_finds_fill_is_said_once(tern):
    of_year("35")
    finds = [of_year("36"), of_year("36"), of_year("38"), of_year("35"), factories.find()]
    for find in finds:
        find.refresh_from_db()
    said = gaps_filled(finds)
    assert said == ["A gap is filled: Tern & Hollis 1936, 1938. Still looking for 1934, 1937, 1939."]


def test_typing_many_says_what_they_fill(owner_client, tern):
    Wish.objects.create(what="mermaid")
    data = {
        "row-TOTAL_FORMS": "2",
        "row-INITIAL_FORMS": "0",
        "row-0-what": "mermaid ink",
        "row-1-what": "jar",
        "stage": "done",
        "act": "save",
    }
    page = owner_client.post("/finds/typed/", data, follow=True).content.decode()
    assert page.count("may be what you look for: mermaid.") == 1


def test_years_of_a_maker_that_is_left_out_are_no_gap(owner_client, tern):
    owner_client.post(f"{SCREEN}years/{tern.slug}/", {"look": "0"})
    assert "fills a gap" not in record(owner_client, "36")


def test_a_wish_that_a_find_may_be_is_offered_and_struck_off_only_by_its_button(owner_client, tern):
    wish = Wish.objects.create(maker=tern, from_year=1936, to_year=1936)
    page = record(owner_client, "36")
    assert "It is what you look for: Tern &amp; Hollis, 1936." in page
    wish.refresh_from_db()
    assert wish.struck_off_at is None
    find = Specimen.objects.get()
    (action,) = re.findall(r'action="(/still-looking-for/[^"]*)"', page)
    assert action == f"{SCREEN}{wish.pk}/struck-off/?found={find.number}"
    told = owner_client.post(action, {"next": find.get_absolute_url()}, follow=True).content.decode()
    assert f"is struck off: {find.number} is it." in told
    wish.refresh_from_db()
    assert wish.struck_off_at and wish.found == find
    again = re.findall(r'action="(/still-looking-for/[^"]*/again/)"', told)[0]
    owner_client.post(again)
    wish.refresh_from_db()
    assert wish.struck_off_at is None and wish.found is None


def test_a_wish_is_added_changed_binned_and_taken_out(owner_client):
    answer = owner_client.post(
        f"{SCREEN}new/",
        {"what": "The half pint", "bottler": "Quill & Sons", "town": "Marrowby", "note": "With its lid."},
    )
    assert answer["Location"] == SCREEN
    wish = Wish.objects.get()
    assert (str(wish), wish.bottler.town) == ("The half pint, Quill & Sons, Marrowby", wish.town)
    page = owner_client.get(SCREEN).content.decode()
    assert "The half pint" in page and "With its lid." in page
    shown = owner_client.get(f"{SCREEN}{wish.pk}/").content.decode()
    assert 'value="Quill &amp; Sons"' in shown
    sent = {"what": "The pint", "bottler": "Quill & Sons", "town": "", "from_year": "1920", "to_year": "1930"}
    assert owner_client.post(f"{SCREEN}{wish.pk}/", sent).status_code == 302
    wish.refresh_from_db()
    assert str(wish) == "The pint, Quill & Sons, 1920 to 1930" and wish.note == ""
    owner_client.post(f"/bin/wish/{wish.pk}/")
    assert (
        "The pint"
        not in owner_client.get(SCREEN).content.decode().split("<h1>")[1].split("is in the bin")[-1]
    )
    assert "The pint" in owner_client.get("/bin/").content.decode()
    owner_client.post(f"/bin/wish/{wish.pk}/back/")
    assert Wish.objects.count() == 1


@pytest.mark.parametrize("kind", ["maker", "town", "bottler", "product"])
def test_pages_say_what_is_wished_of_them_and_lead_to_adding(owner_client, tern, kind):
    made = {
        "maker": tern,
        "town": factories.town(),
        "bottler": bottler_named("Quill"),
        "product": product_named("Fizz"),
    }
    subject = made[kind]
    Wish.objects.create(what="With its lid", **{kind: subject})
    page = owner_client.get(subject.get_absolute_url()).content.decode()
    assert "With its lid" in page
    add = f"{SCREEN}new/?{kind}={subject.slug}"
    assert add in page
    form = owner_client.get(add).content.decode()
    assert f'value="{str(subject).replace("&", "&amp;")}"' in form
    back = {kind: str(subject), "what": "Another", "next": subject.get_absolute_url()}
    assert owner_client.post(add, back)["Location"] == subject.get_absolute_url()
    assert getattr(Wish.objects.get(what="Another"), kind) == subject


@pytest.mark.parametrize(
    ("sent", "told"),
    [
        ({}, "Say what you look for"),
        ({"what": "x" * 201}, "200 go in"),
        ({"what": "a", "from_year": "1940", "to_year": "1930"}, "This is before 1940, the first year."),
        ({"what": "a", "from_year": "12"}, ""),
        ({"maker": "Nobody at all"}, "No maker of that name"),
    ],
)
def test_what_cannot_be_is_said_by_its_field_and_nothing_is_saved(owner_client, sent, told):
    answer = owner_client.post(f"{SCREEN}new/", {"note": "stays typed", **sent})
    page = answer.content.decode()
    assert answer.status_code == 422 and told in page and "stays typed" in page
    assert not Wish.objects.exists()


def test_a_wish_that_is_gone_or_binned_is_not_struck_off(owner_client):
    wish = Wish.objects.create(what="a")
    wish.put_in_bin()
    for key in (wish.pk, 99):
        assert owner_client.post(f"{SCREEN}{key}/struck-off/").status_code == 404
    live = Wish.objects.create(what="b")
    owner_client.post(f"{SCREEN}{live.pk}/struck-off/?found=2099.1.1")
    late = owner_client.post(f"{SCREEN}{live.pk}/struck-off/", follow=True).content.decode()
    assert "was struck off already" in late


@pytest.mark.parametrize("elsewhere", ["javascript:alert(1)", "//example.org/", "https://example.org/"])
def test_the_way_back_is_never_out_of_the_catalogue(owner_client, elsewhere):
    page = owner_client.get(f"{SCREEN}new/", {"next": elsewhere}).content.decode()
    assert "alert(1)" not in page and "example.org" not in page
    saved = owner_client.post(f"{SCREEN}new/", {"what": "a", "next": elsewhere})
    assert saved["Location"] == SCREEN


def test_visitors_see_nothing_of_it(client, tern):
    wish = Wish.objects.create(what="The half pint", maker=tern)
    for address in (SCREEN, f"{SCREEN}card/", f"{SCREEN}{wish.pk}/", f"{SCREEN}new/"):
        assert "/enter/" in client.get(address)["Location"]
    for address in (f"{SCREEN}{wish.pk}/struck-off/", f"{SCREEN}years/{tern.slug}/"):
        assert "/enter/" in client.post(address)["Location"]
    of_year("36", shared=True)
    shown = client.get("/giving/").content.decode()
    assert "half pint" not in shown


def card_text(content: bytes) -> list[str]:
    """The words of each page, as another library reads them."""
    pdf = pypdfium2.PdfDocument(io.BytesIO(content))
    return [page.get_textpage().get_text_bounded() for page in pdf]


def test_the_card_says_it_all_on_one_sheet(owner_client, tern):
    of_year("35")
    Wish.objects.create(what="The half pint", maker=tern, note="With its lid")
    answer = owner_client.get(f"{SCREEN}card/")
    assert answer["Content-Type"] == "application/pdf"
    (words,) = card_text(answer.content)
    for said in ("Still looking for", "Tern & Hollis", "The half pint", "With its lid", "1934, 1936–1939"):
        assert said in words
    (empty,) = card_text(owner_client.get(f"{SCREEN}card/?paper=letter").content)
    assert "The half pint" in empty


def test_queries_do_not_grow(owner_client, tern, django_assert_max_num_queries):
    for n in range(12):
        of_year("35")
        Wish.objects.create(what=f"no. {n}", maker=tern, town=factories.town(f"Town {n}"))
    owner_client.get(SCREEN)
    with django_assert_max_num_queries(14):
        owner_client.get(SCREEN)
