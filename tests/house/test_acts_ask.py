"""Complete mediation: each posted act on a find asks what a hazard says, or says here why it never does."""

from collections.abc import Callable

import pytest
from django.test import Client
from django.utils import timezone

from catalogue.care.acts import Act, act_table
from catalogue.care.models import HazardReason, SoakMember, ToolUse, WorkStep
from catalogue.care.services import note_look, start_soak
from catalogue.giving import services as giving
from catalogue.giving.batch import SetStanding
from catalogue.giving.departures import depart
from catalogue.giving.models import HandOver, PieceRequest, Promise
from catalogue.specimens.batch.perform import perform
from catalogue.specimens.models import BatchAct, Specimen
from tests import factories as make
from tests.care.makers import SOAK_FORM, crusted, soak, tool
from tests.house.test_kept_once import posted_views

RECORDED = "writes down what is so or was done: recording is never refused"
TAKEN_BACK = "takes a wrong tap back, to how it really lies"
OUT = "takes it out, or looks in: to leave it in acid or salt is the worse"
OF_ITSELF = "asks the gates of its own table, stricter than these (bath_checks)"
PAPER = "makes paper, which carries the hazard"
KEPT_HERE = "it stays here, or comes back"
GIVEN = {"person": "Ola", "on": "2026-05-01", "told": "on"}
SOAK = {"name": "Crate", **SOAK_FORM}
Sent = tuple[str, dict[str, object]]


def here(room: str, act: str, **data: object) -> Callable[[Specimen], Sent]:
    return lambda find: (f"/{room}/{find.number}/{act}/", dict(data))


def _free_again(find: Specimen) -> Sent:
    giving.mark(find, "free")
    giving.mark(find, "kept")
    entry = find.history.latest("history_id").history_id
    return f"/giving/{find.number}/standing/undo/{entry}/", {}


def _promise_undone(find: Specimen) -> Sent:
    giving.mark(find, "free")
    return f"/giving/{find.number}/promise/undo/{giving.promise(find, make.person()).pk}/", {}


def _withdrawn(find: Specimen) -> Sent:
    giving.promise(find, make.person())
    return f"/giving/{find.number}/withdraw/", {"then": "free"}


def _not_withdrawn(find: Specimen) -> Sent:
    giving.promise(find, make.person())
    return f"/giving/{find.number}/withdraw/undo/{giving.withdraw(find).pk}/", {}


def _not_handed_over(find: Specimen) -> Sent:
    giving.mark(find, "free")
    return f"/giving/{find.number}/hand-over/undo/{giving.hand_over(find, make.person()).pk}/", {}


def _asked_for(find: Specimen) -> Sent:
    giving.mark(find, "free")
    asked = PieceRequest.objects.create(find=find, name="Ola", reach="By the slip", browser="digest")
    return f"/giving/{find.number}/requests/{asked.pk}/promise/", {}


def _more_time(find: Specimen) -> Sent:
    made = giving.promise(find, make.person(), until=timezone.localdate())
    return f"/giving/{find.number}/promise/extend/{made.pk}/", {}


def _not_gone(find: Specimen) -> Sent:
    giving.mark(find, "free")
    gone = depart(find, "lost", on=timezone.localdate(), reason="Not on its shelf")
    return f"/giving/{find.number}/gone/undo/{gone.pk}/", {}


def _more_pieces(find: Specimen) -> Sent:
    return f"/workbench/soaks/{start_soak(soak(), []).pk}/pieces/", {"find": [find.number]}


def _many(find: Specimen) -> Sent:
    batch = BatchAct.objects.create(finds=[find.pk])
    return f"/finds/many/{batch.pk}/", {"act": "standing", "standing": "free", "how": "good"}


def _many_undone(find: Specimen) -> Sent:
    giving.mark(find, "free")
    batch = BatchAct.objects.create(finds=[find.pk])
    perform(batch, SetStanding("kept"))
    return f"/finds/many/{batch.pk}/undo/", {}


# Each act: what it asks, and how it is sent.
ASKS: dict[str, tuple[Act, Callable[[Specimen], Sent]]] = {
    "finds.many.views.act": (Act.FREE, _many),
    "finds.many.views.undo_many": (Act.FREE, _many_undone),
    "finds.detail.acts.share": (Act.SHARE, here("finds", "share", shared="yes")),
    "giving.answering.promise_to_asker": (Act.PROMISE, _asked_for),
    "giving.departures.undo_gone": (Act.FREE, _not_gone),
    "giving.lapsing.extend": (Act.PROMISE, _more_time),
    "giving.views.standing": (Act.FREE, here("giving", "standing", standing="free")),
    "giving.views.undo_standing": (Act.FREE, _free_again),
    "giving.views.promise": (Act.PROMISE, here("giving", "promise", **GIVEN)),
    "giving.views.undo_promise": (Act.FREE, _promise_undone),
    "giving.views.withdraw": (Act.FREE, _withdrawn),
    "giving.views.undo_withdraw": (Act.PROMISE, _not_withdrawn),
    "giving.views.hand_over": (Act.HAND_OVER, here("giving", "hand-over", **GIVEN)),
    "giving.views.undo_hand_over": (Act.FREE, _not_handed_over),
    "workbench.conditions.stage": (Act.TOOLS, here("workbench", "stage", stage="cleaning")),
    "workbench.pieces.use": (
        Act.TOOLS,
        lambda find: (f"/workbench/{find.number}/clean/use/", {"worked": f"{tool().pk}-yes"}),
    ),
    "workbench.pieces.growth_kept": (Act.TOOLS, here("workbench", "growth-kept", step="scrape")),
    "workbench.soaks.new": (
        Act.SOAK,
        lambda find: ("/workbench/soaks/new/", {**SOAK, "find": [find.number]}),
    ),
    "workbench.soaks.pieces": (Act.SOAK, _more_pieces),
}
WORDS = "says which words visitors read of a piece that they see already"
VISITORS = "a visitor's: the piece must be shown and free (tests/giving/test_asking.py tries each hazard)"
ANSWERED = "answers a request with no, or lets it wait again: nothing is given by it"
NEVER_REFUSED = {
    "giving.asking.ask": VISITORS,
    **dict.fromkeys(
        ["giving.answering.decline", "giving.answering.undo_decline", "giving.answering.erase"], ANSWERED
    ),
    "giving.lapsing.undo_extend": "takes time from a promise: the piece is nearer to staying here",
    "giving.departures.gone": RECORDED,
    **dict.fromkeys(["finds.detail.telling.tell", "finds.detail.telling.hold_back"], WORDS),
    **dict.fromkeys(
        [
            "bin.views.empty",
            "bin.views.put_back",
            "bin.views.throw",
            "dives.card.views.arrive",
            "dives.card.views.card",
            "finds.bulk.many.many",
            "finds.bulk.views.shelf_bin",
            "finds.bulk.views.shelf_put_back",
            "finds.bulk.views.shelf_session",
            "finds.bulk.views.shelf_sessions",
            "finds.detail.acts.add_part",
            "finds.detail.acts.match",
            "finds.detail.acts.move",
            "finds.detail.acts.opinion",
            "finds.detail.acts.put_in_bin",
            "finds.detail.acts.take_out_of_bin",
            "finds.detail.acts.unmatch",
            "finds.detail.acts.withdraw",
            "finds.detail.restoring.go_back",
            "finds.detail.seen.beside",
            "finds.detail.seen.seen",
            "finds.many.views.choose",
            "finds.form.views.date_so_far",
            "finds.form.views.edit_find",
            "finds.form.views.new_find",
            "finds.plates.lay.lay",
            "finds.plates.measure.write",
            "finds.plates.read_views.read",
            "finds.plates.read_views.save",
            "finds.story.views.keep_story",
            "finds.unfinished.views.next_find",
            "history.views.back_to",
            "history.views.undo",
            "shelves.check.pictures.pictures",
            "shelves.check.result.act",
            "shelves.check.result.move_all",
            "shelves.check.walking.begin",
            "shelves.check.walking.end",
            "shelves.check.walking.numbers",
            "shelves.check.walking.tick",
            "shelves.views.put_here",
            "shelves.views.put_one",
            "workbench.conditions.condition",
            "workbench.conditions.parts",
            "workbench.conditions.treatment",
            "workbench.pieces.aim",
            "workbench.pieces.finish",
            "workbench.pieces.look",
            "workbench.soaks.reading",
            "workbench.soaks.rule",
            "workbench.soaks.soak",
        ],
        RECORDED,
    ),
    **dict.fromkeys(
        [
            "finds.detail.acts.hold_again",
            "finds.detail.acts.undo_move",
            "finds.detail.acts.undo_opinion",
            "finds.detail.seen.undo_beside",
            "finds.detail.seen.undo_seen",
            "shelves.check.result.go_on",
            "workbench.baths.put_all_back",
            "workbench.baths.put_back",
            "workbench.conditions.undo_stage",
            "workbench.pieces.undo",
            "workbench.soaks.put_all_back",
            "workbench.soaks.put_back",
        ],
        TAKEN_BACK,
    ),
    **dict.fromkeys(
        [
            "workbench.baths.end",
            "workbench.baths.look",
            "workbench.baths.set_right",
            "workbench.baths.take_all_out",
            "workbench.baths.take_out",
            "workbench.soaks.end",
            "workbench.soaks.take_out",
        ],
        OUT,
    ),
    **dict.fromkeys(
        [
            "workbench.bath_planning.change",
            "workbench.bath_planning.new",
            "workbench.bath_planning.note_pieces",
            "workbench.bath_planning.pieces",
            "workbench.baths.start",
        ],
        OF_ITSELF,
    ),
    "giving.views.came_back": KEPT_HERE,
    "giving.views.undo_came_back": "it never came back: it is away as it was",
    "labels.printing.labels": PAPER,
    "labels.own_sheets.own_sheet": PAPER,
    "labels.views.tags": PAPER,
}
# Rooms and parts of them in which no find is touched; pictures are seen where their find is, never without.
ELSEWHERE = (
    *("access.", "bottlers.", "dives.dives.", "dives.sites.", "finds.list.", "makers.", "people.", "photos."),
    *(
        "products.",
        "reference.",
        "safekeeping.",
        "settings.",
        "shelves.arranging.",
        "shelves.upkeep.",
        "shelves.views.place_form",
        "still_looking_for.",
        "towns.",
        "workbench.equipment.",
    ),
)


def test_every_posted_act_asks_or_says_why_not() -> None:
    views = {name for name in posted_views() if not name.startswith(ELSEWHERE)}
    assert len(views) > 60
    assert views - set(ASKS) - set(NEVER_REFUSED) == set(), "ask a permit, or say why it is never refused"
    assert (set(ASKS) | set(NEVER_REFUSED)) - views == set()
    assert not set(ASKS) & set(NEVER_REFUSED)


def test_every_act_of_the_table_is_asked_by_some_page() -> None:
    # to be kept again after it went to an authority: a standing of its own, asked for by the same page
    asked = {act for act, _ in ASKS.values()} | {Act.BACK}
    assert asked == {act for act, _ in act_table()} == set(Act)


def state(find: Specimen) -> tuple[object, ...]:
    find.refresh_from_db()
    rows = (Promise, HandOver, SoakMember, ToolUse, WorkStep, HazardReason)
    return find.standing, find.shared, find.stage, find.place, *(row.objects.count() for row in rows)


@pytest.mark.django_db
@pytest.mark.parametrize("view", ASKS)
def test_what_is_refused_changes_nothing(owner_client: Client, view: str) -> None:
    """A piece that turned out to be munition; the act is sent as its page sends it, with a reason."""
    find = crusted(look="growth")
    address, data = ASKS[view][1](find)
    note_look(find, ["munition"])
    before = state(find)
    answer = owner_client.post(address, {**data, "hazard-reason": "I looked at it well"}, follow=True)
    text = answer.content.decode().replace("&#x27;", "'")
    assert state(find) == before
    assert act_table()[ASKS[view][0], "munition"].why.words in text
