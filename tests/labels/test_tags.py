"""Field tags: printed once each, and read back from a picture of the paper."""

import pytest
from django.urls import reverse

from catalogue.labels.models import TagRun
from catalogue.labels.tag_numbers import LARGEST_TAG, TagsUsedUp, give_tags, highest_used, next_number
from catalogue.labels.tags import TAG_SHEETS, code_plan, tag_sheet
from catalogue.photos.qr_codes import codes_in, tag_or_number
from tests.factories import dive, find
from tests.labels.rendering import codes, pages, words
from tests.photos.card_shots import printed, tag_shot

TAGS = [f"T-{n}" for n in range(65, 78)]


@pytest.mark.parametrize("page", TAG_SHEETS)
def test_every_tag_stands_on_the_sheet_with_its_code_on_its_own_paper(page):
    pdf = tag_sheet(TAGS, page)
    read = [(text, sheet, x, y) for sheet, image in enumerate(pages(pdf)) for text, x, y in codes(image)]
    assert sorted(text for text, *_ in read) == TAGS
    for text, at, x, y in read:
        place = TAGS.index(text)
        left, top = TAG_SHEETS[page].place(place % 10)
        assert at == place // 10
        assert (
            left < x < left + TAG_SHEETS[page].label_width_mm
            and top < y < top + TAG_SHEETS[page].label_height_mm
        )
    for tag in TAGS[:10]:
        assert tag in words(pdf)


def test_the_code_is_the_smallest_there_is_and_large_on_the_paper():
    plan = code_plan("T-65")
    assert len(plan.rows) == 21  # version 1, ISO/IEC 18004
    assert 35 < plan.side_mm <= 40 and plan.module_mm > 1.2
    assert code_plan("WWW-999999").side_mm <= 40


def test_a_code_is_read_aslant_and_out_of_focus_and_where_not_it_is_noticed_or_nothing():
    paper = printed(["T-65"])[0]
    for blur in (0, 1, 2, 3):
        for turn in (-40, 0, 12, 90):
            assert codes_in(tag_shot(paper, blur=blur, turn=turn)).codes == ("T-65",), (blur, turn)
    assert codes_in(tag_shot(paper, blur=9)).codes == ()


@pytest.mark.parametrize(
    ("text", "tag"),
    [
        ("T-65", "T-65"),
        (" t-65\n", "T-65"),
        ("http://192.168.1.20:8737/f/2026.14.3", "2026.14.3"),
        ("HTTP://192.168.1.20:8737/F/2026.14.3a", "2026.14.3a"),
        ("http://somewhere/else", ""),
        ("javascript:alert(1)", ""),
        ("T-65 and more", ""),
        ("", ""),
    ],
)
def test_only_tags_and_labels_count(text, tag):
    assert tag_or_number(text) == tag


def test_numbers_go_on_after_the_highest_used_or_printed(db):
    assert next_number("T") == 1
    binned = find(field_tag="t 64")
    binned.put_in_bin()
    find(field_tag="T-61")
    for other in ("TT-900", "T-x", "T-12-13", "K17", "65"):
        find(field_tag=other)
    assert highest_used("T") == 64 and next_number("T") == 65
    run = give_tags("T", 10, "A4")
    assert (run.tags[0], run.tags[-1], str(run)) == ("T-65", "T-74", "T-65 to T-74")
    find(field_tag="T-70")
    assert give_tags("T", 20, "Letter").first == 75
    assert give_tags("K", 10, "A4").first == 18
    find(field_tag="T-200")
    assert give_tags("T", 10, "A4").first == 201


def test_a_tag_typed_on_a_card_is_used(db):
    dive().card_groups.create(place=1, code="T-99", why="hand")
    assert next_number("T") == 100


def test_numbers_end(db):
    find(field_tag=f"T-{LARGEST_TAG - 3}")
    with pytest.raises(TagsUsedUp):
        give_tags("T", 10, "A4")
    assert not TagRun.objects.exists()


def test_the_page_gives_numbers_once_and_the_sheet_has_its_own_address(owner_client):
    address = reverse("labels:tags")
    find(field_tag="T-64")
    page = owner_client.get(address).content.decode()
    assert page.count("<h1") == 1 and "T-65" in page and "style=" not in page
    answer = owner_client.post(address, {"letters": "t", "sheets": 2, "page": "A4"})
    run = TagRun.objects.get()
    assert (run.letters, run.first, run.last) == ("T", 65, 84)
    assert answer["Location"] == reverse("labels:tag_run", args=[run.pk])
    pdf = owner_client.get(answer["Location"])
    assert pdf["Content-Type"] == "application/pdf" and "tags-T-65-84.pdf" in pdf["Content-Disposition"]
    assert owner_client.get(answer["Location"]).content == pdf.content
    assert TagRun.objects.count() == 1
    assert "T-65 to T-84" in owner_client.get(address).content.decode()


@pytest.mark.parametrize(
    "wrong",
    [
        {"letters": ""},
        {"letters": "TOOL"},
        {"letters": "Ü"},
        {"sheets": "0"},
        {"sheets": "51"},
        {"page": "A3"},
    ],
)
def test_bad_input_gives_no_numbers(owner_client, wrong):
    sent = {"letters": "T", "sheets": "1", "page": "A4"} | wrong
    answer = owner_client.post(reverse("labels:tags"), sent)
    assert answer.status_code == 422 and 'role="alert"' in answer.content.decode()
    assert not TagRun.objects.exists()


def test_a_visitor_and_what_is_not_there(client, owner_client, db):
    assert "/enter/" in client.post(reverse("labels:tags"), {"letters": "T", "sheets": 1})["Location"]
    assert owner_client.get(reverse("labels:tag_run", args=[1])).status_code == 404
    run = give_tags("T", 10, "A4")
    assert "/enter/" in client.get(reverse("labels:tag_run", args=[run.pk]))["Location"]


def test_queries_of_the_page(owner_client, django_assert_num_queries):
    for _ in range(3):
        give_tags("T", 10, "A4")
    # session, owner, letters, last printed, tags on finds, tags on cards, runs, sites with their hazards
    with django_assert_num_queries(8):
        owner_client.get(reverse("labels:tags"))
