"""Date a bottle in depth: known years, doubts, ghosts, regions, and nothing lost on the way to a find."""

import re
from urllib.parse import urlencode

import pytest
from django.http import QueryDict

import dating
from catalogue.pages.date.links import promise_of, question_of
from catalogue.pages.parts.evidence_query import read_known
from catalogue.specimens.models import Specimen
from dating.tables import lip_parts
from tests import factories

pytestmark = pytest.mark.django_db


def page(client, query: str) -> str:
    answer = client.get(f"/date/?{query}")
    assert answer.status_code == 200
    return answer.content.decode()


def answer(client, query: str):
    return client.get(f"/date/?{query}").context["answer"]


def test_several_known_years_each_with_its_source(owner_client):
    query = "why=lost+in+the+storm+of+1931&before=1931&source=harbour+log&why2=works+opened&after2=1911"
    found = answer(owner_client, query)
    assert found.words == "about 1911 to 1931"
    sources = {reason.evidence: reason.source for reason in found.reasons}
    assert sources == {"Lost in the storm of 1931": "harbour log", "Works opened": "your own word"}


def test_each_row_of_known_years_is_taken_back_by_itself(owner_client):
    text = page(owner_client, "why=wreck&before=1931&why2=opened&after2=1911")
    assert 'href="?why2=opened&amp;after2=1911"' in text and 'href="?why=wreck&amp;before=1931"' in text


@pytest.mark.parametrize(
    ("when", "words"),
    [
        ("1926 to 1931", "about 1926 to 1931"),
        ("the 1930s", "about 1930 to 1939"),
        ("[1926,1936]", "one of 1926, 1936"),
        ("../1931", "before 1932"),
    ],
)
def test_years_as_written(owner_client, when, words):
    assert answer(owner_client, urlencode({"why": "directory", "when": when})).words == words


@pytest.mark.parametrize(
    ("query", "trouble"),
    [
        ("when=1931-05-01", "finer than a year"),
        ("when=1931&after=1930", "in one way"),
        ("when=" + "1" * 300, "Years as written"),
        ("after2=abc", "Not before: give a year"),
        ("before3=1500", "Not after: give a year"),
        ("when=2099", "That is in the future."),
        ("when=1210", "That is before 1600."),
        ("after=1900&why=" + "w" * 201, "201 letters are too many, 200 go in."),
        ("after=1900&source=" + "w" * 300, "300 letters are too many, 200 go in."),
    ],
)
def test_known_years_that_make_no_sense_are_said_and_left_out(query, trouble):
    rows = read_known(QueryDict(query), 2026)
    assert len(rows) == 1 and trouble in rows[0].trouble and not rows[0].row


def test_an_answer_can_be_doubted_and_trusted_again(owner_client):
    text = page(owner_client, "f=crown-finish")
    doubted = re.search(r'class="turn" href="\?([^"]*)"', text)[1].replace("&amp;", "&")
    assert "doubt=crown-finish" in doubted
    text = page(owner_client, doubted)
    assert "counted as doubtful" in text and "sure after all" in text
    back = re.search(r'class="turn" href="\?([^"]*)"', text)[1].replace("&amp;", "&")
    assert "doubt" not in back and "f=crown-finish" in back


def test_a_ghost_is_a_doubtful_fired_label_and_its_conflict_names_both_readings(owner_client):
    found = answer(owner_client, "f=ghost&f=free-blown")
    ghost = next(reason for reason in found.reasons if "ghost" in reason.evidence)
    assert "counted as doubtful" in ghost.why_weight
    assert found.corrected.startswith(
        "Either Applied colour label (ACL) (its ghost, worn by sand) is misread: to 1870; or "
    )
    assert "Free-blown is misread: 1931 on" in found.corrected


def test_the_ghost_is_an_answer_to_the_question_about_labels(owner_client):
    reference = dating.reference()
    look = dating.Look("label", "Look for a label: fired label?", 1.0, "a lamp", 1.0, "", ("acl",))
    replies = question_of(look, QueryDict("contents=soda"), reference).replies
    assert [reply.term for reply in replies] == ["Yes", "Only its ghost"]
    assert replies[1].address == "?contents=soda&f=ghost"
    assert 'value="ghost"' in page(owner_client, "")


def test_rows_of_another_region_are_offered_only_there_or_where_nothing_is_known(owner_client):
    assert 'value="federal-law-forbids"' in page(owner_client, "")
    assert 'value="federal-law-forbids"' in page(owner_client, "region=US")
    assert 'value="federal-law-forbids"' not in page(owner_client, "region=UK")
    assert 'value="marble-stopper"' in page(owner_client, "region=UK")
    # said already, it stays in sight
    assert 'value="federal-law-forbids"' in page(owner_client, "region=UK&f=federal-law-forbids")


@pytest.mark.parametrize(
    "feature",
    ["federal-law-forbids", "zip-code", "state-abbrev-two-letter", "metric-liquor", "contents-statement"],
)
def test_wording_that_dates_can_be_reached_and_counts(owner_client, feature):
    assert f'value="{feature}"' in page(owner_client, "")
    assert answer(owner_client, f"f={feature}").reasons


def test_what_to_look_at_reads_as_a_sentence(owner_client):
    reference = dating.reference()
    case = dating.Case.from_dict({"this_year": 2026}, reference)
    looks = dating.assess(case, reference, look_next=True).look_next
    said = [promise_of(look) for look in looks]
    asked = r"Look at the (lip|seams|base): [a-z, ]+\? (Likely|May|Unlikely)"
    assert any(re.match(asked, words) for words in said)
    assert not any("??" in words or ": :" in words for words in said)


def test_weights_cuts_and_edtf_are_shown(owner_client):
    text = page(owner_client, "why=works&after=1890&before=1930&why2=bottler&after2=1910")
    assert "without it: about 1890 to 1930" in text
    assert "your own knowledge" in text and "1910/1930" in text


def test_the_mark_asked_first_keeps_everything_else(owner_client):
    text = page(owner_client, "one=1&f=crown-finish&why2=wreck&before2=1931&recovered=2024")
    for pair in (("f", "crown-finish"), ("why2", "wreck"), ("before2", "1931"), ("recovered", "2024")):
        assert '<input type="hidden" name="{}" value="{}">'.format(*pair) in text


EVERYTHING = {
    "letters": "BW", "symbol": "wave", "frame": "none", "right": "7", "none": "left",
    "mark_certainty": "probable", "contents": "soda", "region": "US", "f-lip-shape": "crown-finish",
    "f": ["ghost", "zip-code", "colour-aqua"], "doubt": "zip-code",
    "why": "wreck", "before": "1950", "source": "harbour log", "why2": "opened", "when2": "about 1926",
    "recovered": "2024", "inscription": "BW 7 / MARROWBY", "one": "1", "skip": "pontil",
}  # fmt: skip


def posted(client, text: str) -> dict[str, str]:
    """What a browser would send from the form as it opened."""
    sheet = client.get(f"/finds/new/?{urlencode(EVERYTHING, doseq=True)}").context["sheet"]
    data: dict[str, object] = {"what": text, "made-asked": "1", "act": "save"}
    for part in (sheet.find_form, sheet.dive_form, sheet.features):
        data |= {bound.html_name: bound.value() for bound in part if bound.value() not in (None, "", False)}
    for rows in sheet.sets.values():
        data |= {f"{rows.prefix}-{key}": value for key, value in rows.management_form.initial.items()}
        for form in rows:
            data |= {b.html_name: b.value() for b in form if b.value() not in (None, "", False)}
    return data | {"what": text}


def test_recorded_as_a_find_nothing_said_is_lost(owner_client):
    factories.brackwater()
    data = posted(owner_client, "Soda bottle")
    sent = owner_client.post(f"/finds/new/?{urlencode(EVERYTHING, doseq=True)}", data)
    assert sent.status_code == 302, sent.context["problems"]
    find = Specimen.objects.get()
    reading = find.readings.get()
    assert (reading.letters, reading.symbol, reading.frame) == ("BW", "wave", "none")
    assert (reading.right, reading.left, reading.above, reading.certainty) == ("7", "", None, "probable")
    assert {(f.feature, f.certainty) for f in find.features.all()} == {
        ("crown-finish", "certain"),
        ("zip-code", "doubtful"),
        ("colour-aqua", "certain"),
    }
    known = {row.what: (row.to_year, row.edtf, row.source) for row in find.known_years.all()}
    assert known == {"wreck": (1950, "", "harbour log"), "opened": (None, "1926~", "")}
    assert {(i.text, i.how) for i in find.inscriptions.all()} == {
        ("BW 7 / MARROWBY", "embossed"),
        ("[..]", "ghost"),
    }
    assert (find.contents, find.region, find.recovered_edtf) == ("soda", "US", "2024")


def test_both_pages_say_the_same_years(owner_client):
    factories.brackwater()
    query = urlencode(EVERYTHING, doseq=True)
    in_hand = owner_client.get(f"/date/?{query}").context["answer"].words
    assert in_hand in owner_client.get(f"/finds/new/?{query}").content.decode()


@pytest.mark.parametrize(
    "query", ["f=no-such", "after=abc", "letters=%EF%BF%BD&right=" + "9" * 500, "recovered=-1", "x=y"]
)
def test_nonsense_on_the_way_to_a_find_opens_the_form_all_the_same(owner_client, query):
    assert owner_client.get(f"/finds/new/?{query}").status_code == 200


def test_queries(owner_client, django_assert_max_num_queries):
    factories.brackwater()
    # session, user, house settings, and four that tell whether the tables are the same
    with django_assert_max_num_queries(8):
        page(owner_client, "letters=BW&right=7&f=crown-finish")


def test_a_visitor_may_not(client):
    assert client.get("/date/?letters=BW").status_code in (302, 403)


def test_answers_usual_in_the_years_so_far_come_first(owner_client):
    """Seams over the rim (after 1905 or so) make a crown likelier than an applied lip (table of features)."""
    asked = owner_client.get("/date/", {"one": "1", "f": "machine-seam-over-finish"}).context["questions"]
    order = [reply.feature for question in asked for reply in question.replies]
    assert order.index("crown-finish") < order.index("laid-on-ring")


def test_answers_keep_the_order_of_the_table_while_nothing_is_known(owner_client):
    asked = owner_client.get("/date/", {"one": "1", "skip": "mark"}).context["questions"]
    tables = dating.reference()
    table = [f.id for f in tables.groups["finish"] if tables.variants.offered(f, None, None)]
    parts = [[f for f in table if f in set(part)] for part in ids_of_lip(tables)]
    assert [[reply.feature for reply in lip_asked(asked, part)] for part in parts] == parts


def ids_of_lip(tables) -> list[list[str]]:
    return [[f.id for f in part] for part in lip_parts(tables.groups["finish"])]


def lip_asked(asked, part: list[str]):
    return next(q.replies for q in asked if any(reply.feature in part for reply in q.replies))


def test_the_lip_is_two_questions_and_each_is_asked_whatever_the_other_was(owner_client):
    """How it was made and which shape it has; on the page with all questions the shapes fold after twelve."""
    made, shapes = ids_of_lip(dating.reference())
    groups = {row.group.key: row for row in owner_client.get("/date/").context["groups"]}
    assert {f.id for f, _ in groups["finish"].rows} <= set(made) and not groups["finish"].further
    shown = groups["lip-shape"]
    assert len(shown.rows) == 12 and {f.id for f, _ in (*shown.rows, *shown.further)} <= set(shapes)
    one = owner_client.get("/date/", {"one": "1", "f": "tooled-finish"}).context["questions"]
    offered = {reply.feature for question in one for reply in question.replies}
    assert not offered & set(made)
    aside = owner_client.get("/date/", {"one": "1", "skip": "lip-shape"}).context["questions"]
    assert not {reply.feature for question in aside for reply in question.replies} & set(shapes)


def test_an_address_of_before_the_lip_was_asked_twice_still_holds(owner_client):
    page = owner_client.get("/date/", {"f-finish": "crown-finish"})
    rows = {row.group.key: row.chosen for row in page.context["groups"]}
    assert rows["lip-shape"] and not rows["finish"]


def test_a_mark_that_can_hardly_be_is_not_named(owner_client):
    page = owner_client.get("/date/", {"letters": "LG", "right": "69"})
    chances = [chance for _, chance in page.context["makers"]]
    assert chances and min(chances) >= 0.01
    assert b"(0.00)" not in page.content
