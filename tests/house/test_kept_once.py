"""Idempotency keys everywhere: each view that is posted to keeps a form once, and each form sends its key."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.urls import URLPattern, URLResolver, get_resolver

from tests.house.imports import ROOT, parsed

ONE_COLUMN = "sets one column: sent again it sets the same"
THERE_OR_NOT = "a thing is in the bin or out of it: sent again it is still there"
BY_DIGEST = "a picture is known by its digest: the same one is there once"
NOTHING_KEPT = "writes no record"
# Views that make no row however often they are sent, each with its reason.
SENT_AS_OFTEN_AS_ONE_LIKES = {
    "access.views.enter": NOTHING_KEPT,
    "access.views.leave": NOTHING_KEPT,
    "bin.views.throw": THERE_OR_NOT,
    "bin.views.put_back": THERE_OR_NOT,
    "bin.views.empty": THERE_OR_NOT,
    "dives.card.views.card": "a picture lies in one group; one that was filed is not on the card any more",
    "dives.card.views.arrive": BY_DIGEST,
    "dives.sites.picture_position": NOTHING_KEPT,
    "finds.bulk.views.shelf_session": "a bottle that has its number gets no second one",
    "finds.bulk.views.shelf_bin": THERE_OR_NOT,
    "finds.bulk.views.shelf_put_back": THERE_OR_NOT,
    "finds.detail.acts.share": ONE_COLUMN,
    "finds.detail.acts.put_in_bin": THERE_OR_NOT,
    "finds.detail.acts.take_out_of_bin": THERE_OR_NOT,
    "finds.form.views.date_so_far": NOTHING_KEPT,
    "finds.list.saved_views.put_view_away": THERE_OR_NOT,
    "finds.list.saved_views.take_view_out": THERE_OR_NOT,
    "finds.plates.read_views.save": BY_DIGEST,
    "labels.printing.labels": "a print is known by its digest: the same again takes no further labels",
    "makers.form.views.maker_live": NOTHING_KEPT,
    "makers.form.views.maker_bin": THERE_OR_NOT,
    "makers.form.views.maker_back": THERE_OR_NOT,
    "people.views.erase_person": THERE_OR_NOT,
    "photos.holding.hold_one": BY_DIGEST,
    "photos.holding.let_one_go": THERE_OR_NOT,
    "photos.views.add": BY_DIGEST,
    "photos.views.order": ONE_COLUMN,
    "photos.views.roles": ONE_COLUMN,
    "photos.views.make_cover": ONE_COLUMN,
    "photos.views.move": "a step in a row: two taps are two steps",
    "photos.views.put_in_bin": THERE_OR_NOT,
    "photos.views.put_back": THERE_OR_NOT,
    "photos.views.use_position": ONE_COLUMN,
    "reference.redating.views.redate_now": NOTHING_KEPT,
    "settings.api_keys.api_keys": "a key is shown once: sent again it makes one more, and both stand there",
    "settings.api_keys.api_key_end": THERE_OR_NOT,
    "safekeeping.views.move_aside": "files that were moved are not there to be moved again",
    "safekeeping.views.delete_day": "files that are gone are not there to be deleted again",
    "safekeeping.backups.back_up_now": "one thing runs at a time; a second backup of a day takes its place",
    "safekeeping.backups.look_through": NOTHING_KEPT,
    "safekeeping.backups.one_file": "a file that is there is never written over",
    "safekeeping.backups.stop": NOTHING_KEPT,
    "safekeeping.make_pages.carry_away": "one thing runs at a time; the same pages take their own place",
    "safekeeping.restoring.restore": "one restored catalogue waits: the same one again takes its place",
    "safekeeping.restoring.give_up": THERE_OR_NOT,
    "safekeeping.take_in.pictures": BY_DIGEST,
    "safekeeping.take_in.drop": THERE_OR_NOT,
    "safekeeping.sending.begin": "one backup arrives at a time: sent again it takes the place of the first",
    "safekeeping.sending.part": "a part that is there is not written twice",
    "safekeeping.sending.drop": THERE_OR_NOT,
    "settings.town_lists.town_lists": "a country has one list: the same file again takes its place",
    "settings.town_lists.town_list_delete": THERE_OR_NOT,
    "settings.town_lists.town_list_restore": THERE_OR_NOT,
    "settings.views.keyboard": NOTHING_KEPT,
    "settings.views.set_password": ONE_COLUMN,
    "settings.views.sign_out": NOTHING_KEPT,
    "settings.views.phones": "a code that was lost on the way is asked for anew, and the older one dies",
    "shelves.check.pictures.pictures": "a piece is ticked or not: read again it is ticked still",
    "shelves.check.walking.tick": ONE_COLUMN,
    "still_looking_for.views.years": ONE_COLUMN,
    "workbench.bath_planning.note_pieces": ONE_COLUMN,
    "workbench.conditions.stage": ONE_COLUMN,
    "workbench.equipment.put_away": THERE_OR_NOT,
    "workbench.pieces.aim": ONE_COLUMN,
}
# Templates of forms that are sent to the page they stand on, where that is one of the above.
OF_SUCH_PAGES = {
    "access/enter.html",
    "dives/card/add.html",
    "dives/card/card.html",
    "errors/full_disk.html",  # sends again what was sent, its key included
    "finds/bulk/shelf.html",
    "labels/labels.html",
    "settings/phones.html",
}
PAGES = ROOT / "catalogue" / "pages"
FORM = re.compile(r"<form\b[^>]*?method=\"post\".*?</form>", re.DOTALL | re.IGNORECASE)
ACTION = re.compile(r"<form\b[^>]*?action=\"\{% url '([\w:]+)'", re.DOTALL)
KEY = re.compile(r"\{% form_key %\}|\.carried \}\}|name=\"once\"")


def posted_views() -> dict[str, bool]:
    """Every view that answers to POST, by its dotted name, and whether it keeps once."""
    views = {}
    for path in PAGES.rglob("*.py"):
        for node in parsed(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef) and any(_takes_posts(d) for d in node.decorator_list):
                dotted = ".".join(path.relative_to(PAGES).with_suffix("").parts)
                views[f"{dotted}.{node.name}"] = _keeps_once(node)
    return views


def _takes_posts(decorator: ast.expr) -> bool:
    return "POST" in ast.unparse(decorator)


def _keeps_once(view: ast.FunctionDef) -> bool:
    decorated = any(ast.unparse(decorator) == "kept_once" for decorator in view.decorator_list)
    called = {ast.unparse(node.func) for node in ast.walk(view) if isinstance(node, ast.Call)}
    return decorated or "keep_once" in called


def views_by_name(of: list[URLPattern | URLResolver], space: str = "") -> Iterator[tuple[str, str]]:
    """The name of every address with the dotted name of its view."""
    for entry in of:
        if isinstance(entry, URLResolver):
            inner = f"{entry.namespace}:" if entry.namespace else space
            yield from views_by_name(entry.url_patterns, inner)
        elif entry.name:
            module = entry.callback.__module__.removeprefix("catalogue.pages.")
            yield f"{space}{entry.name}", f"{module}.{entry.callback.__name__}"


VIEWS = posted_views()


def test_every_view_that_is_posted_to_keeps_once_or_says_why_not() -> None:
    assert len(VIEWS) > 80
    silent = {name for name, once in VIEWS.items() if not once} - set(SENT_AS_OFTEN_AS_ONE_LIKES)
    assert silent == set(), "decorate it with @kept_once, or say here why it makes no second row"


def test_no_view_is_excused_that_is_gone_or_keeps_once() -> None:
    assert {name for name in SENT_AS_OFTEN_AS_ONE_LIKES if VIEWS.get(name, True)} == set()


@pytest.mark.parametrize("path", sorted((ROOT / "templates").rglob("*.html")), ids=lambda p: p.stem)
def test_every_form_sends_its_key(path: Path) -> None:
    """A form without an action of its own is posted to the page it stands on: it carries a key as well."""
    # Of two addresses of one name the first is the form's; the other has something of its own in it.
    by_name = dict(reversed(list(views_by_name(get_resolver().url_patterns))))
    for form in FORM.findall(path.read_text(encoding="utf-8")):
        action = ACTION.search(form)
        view = by_name[action[1]] if action else ""
        bare = path.as_posix().endswith(tuple(OF_SUCH_PAGES)) and not view
        if view not in SENT_AS_OFTEN_AS_ONE_LIKES and not bare:
            assert KEY.search(form), (
                f"{path.name}: {form[:200]} needs {{% form_key %}} or {{{{ form.carried }}}}"
            )


def test_a_form_that_lacks_its_key_would_be_found() -> None:
    bare = """<form class="x" method="post" action="{% url 'dives:site_clear' a %}">{% csrf_token %}</form>"""
    (found,) = FORM.findall(bare)
    action = ACTION.search(found)
    assert action and action[1] == "dives:site_clear" and not KEY.search(found)
    assert KEY.search("{% form_key %}") and KEY.search("{{ move_form.carried }}")
