"""Words of the trade on the pages that use them: told once, beside the sentence, never within what acts."""

from html.parser import HTMLParser

import pytest

from catalogue.care.models import ConditionReport, Damage
from catalogue.common.words.trade_terms import trade_terms
from catalogue.specimens.models import ObservedFeature
from catalogue.specimens.services import Parts
from tests import factories as make

pytestmark = pytest.mark.django_db
# What a button may not stand in, and what may not hold the letters of somebody else.
NEVER_WITHIN = {"a", "button", "label", "summary", "legend", "h1", "h2", "h3", "option", "title", "svg"}
VOID = {"input", "br", "img", "link", "meta", "hr", "source"}


class Terms(HTMLParser):
    """Collects the terms told on a page, each with the elements around it, and every id."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.around: list[str] = []
        self.told: list[tuple[str, set[str]]] = []
        self.ids: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        named = dict(attrs)
        if named.get("id"):
            self.ids.append(str(named["id"]))
        if named.get("class") == "term":
            self.told.append((str(named["popovertarget"]), {*self.around}))
        if tag not in VOID:
            self.around.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag in self.around:
            while self.around.pop() != tag:
                pass


@pytest.fixture
def flashed():
    """A wine bottle with a pontil and its lip, a keystone at the heel, flashed and crizzled."""
    parts = Parts(
        features=[ObservedFeature(feature=name) for name in ("blowpipe-pontil", "applied-finish")],
        readings=[make.reading("K", frame="keystone", where="heel")],
    )
    find = make.find("Wine bottle", parts, kind="wine", bottler=make.bottler(), bore_mm=19)
    report = ConditionReport.objects.create(find=find, on="2026-11-02")
    Damage.objects.create(report=report, kind="flash", extent="trace", part="lip")
    Damage.objects.create(report=report, kind="crizzling", extent="little", part="whole")
    return find


def pages(find) -> list[str]:
    return [
        find.get_absolute_url(),
        f"{find.get_absolute_url()}edit/",
        "/finds/new/",
        "/finds/questions/",
        "/date/?f=blowpipe-pontil&f=applied-finish&f=machine-seam-over-finish",
        "/date/?one=1",
        "/reference/?part=features",
        "/reference/?part=copies",
        "/reference/?part=words",
        f"/workbench/{find.number}/",
        f"/workbench/{find.number}/condition/",
    ]


def test_no_term_stands_within_what_acts_and_each_is_told_once(owner_client, flashed) -> None:
    for address in pages(flashed):
        answer = owner_client.get(address)
        assert answer.status_code == 200, address
        page = Terms(answer.content.decode())
        assert [(name, around & NEVER_WITHIN) for name, around in page.told if around & NEVER_WITHIN] == []
        names = [name for name, _ in page.told]
        assert len(set(names)) == len(names) and set(names) <= {*page.ids}, address
        assert len(set(page.ids)) == len(page.ids), address


def test_a_find_tells_its_pontil_its_keystone_its_flash_and_its_crizzling(owner_client, flashed) -> None:
    html = owner_client.get(flashed.get_absolute_url()).content.decode()
    told = {name for name, _ in Terms(html).told}
    assert {"term-blowpipe-pontil", "term-applied-finish", "term-keystone", "term-heel"} <= told
    assert {"term-flash", "term-crizzling", "term-bottler", "term-bore"} <= told
    assert trade_terms().terms["crizzling"].words in html


@pytest.mark.parametrize(
    ("address", "terms"),
    [
        ("/finds/new/", ["keystone", "bottler", "bore"]),
        ("/finds/questions/", ["pontil", "kick", "seed bubbles", "club sauce finish"]),
        ("/date/", ["keystone", "sand pontil", "vulcanite"]),
        ("/date/?one=1&letters=BW", ["seam"]),
        ("/workbench/{}/condition/", ["flash", "crizzling", "iridescence"]),
        ("/workbench/{}/", ["crizzling", "flaking"]),
    ],
)
def test_a_form_tells_below_its_choices_what_they_mean(owner_client, flashed, address, terms) -> None:
    html = owner_client.get(address.format(flashed.number)).content.decode()
    meant = "".join(part.split("</details>")[0] for part in html.split('<details class="meant')[1:])
    assert [term for term in terms if f"<dt>{term}</dt>" not in meant] == []


def test_all_of_them_stand_in_the_reference_and_more_leads_there(owner_client) -> None:
    assert '<a href="/reference/?part=words"' in owner_client.get("/finds/").content.decode()
    rows = []
    for number in (1, 2):
        rows += owner_client.get(f"/reference/?part=words&page={number}").context["page"].object_list
    assert [row.title.lower() for row in rows] == [term.term.lower() for term in trade_terms().in_order]
    assert all(row.source for row in rows)


def test_a_visitor_is_told_too_without_a_way_into_closed_rooms(client, flashed) -> None:
    type(flashed).objects.filter(pk=flashed.pk).update(shared=True, standing="free")
    html = client.get(flashed.get_absolute_url()).content.decode()
    told = {name for name, _ in Terms(html).told}
    assert "term-keystone" in told and "/reference/" not in html
