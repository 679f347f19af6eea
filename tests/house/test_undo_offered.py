"""Every posted act offers Undo in the notice that says what it did, or says here why not."""

import ast
from functools import cache

from tests.house.imports import ROOT, parsed
from tests.house.test_kept_once import VIEWS

# What says it with the button, or leads to something that does.
SAYS_UNDO = {
    *("say_with_undo", "say_saved", "say_changed", "say_out", "notes_page", "merge_page"),
    *("say_moved", "show_back_to"),
}
TAKES_BACK = "takes something back itself: what it undoes is done again by the act's own button"
MADE = "makes a record: its page offers the bin, and that offers Undo"
ITS_HISTORY = "its record's history leads back to any state, shown first"
ONE_BUTTON = "sets one thing, which the same button or the one beside it sets again"
DOOR = "lets in or out, or sets how this catalogue is opened: nothing on record is changed"
FOR_GOOD = "is for good, and says so before"
FILES = "makes, checks or moves files; what waits is given up on its page"
NOTHING_WRITTEN = "writes no record"
OF_THE_BENCH = "says what was done in the hand; it is put right, or binned, on its own page"
PIECEWISE = "puts many records where they were told; each is put right on its own page"
WHY_NOT = {
    **dict.fromkeys(
        [
            "bin.views.put_back",
            "bottlers.merging.undo",
            "finds.bulk.views.shelf_put_back",
            "finds.detail.acts.take_out_of_bin",
            "finds.detail.acts.undo_move",
            "finds.detail.acts.undo_opinion",
            "finds.detail.acts.hold_again",
            "finds.detail.acts.unmatch",
            "finds.detail.seen.undo_beside",
            "finds.detail.seen.undo_seen",
            "finds.detail.telling.hold_back",
            "finds.list.saved_views.take_view_out",
            "finds.many.views.undo_many",
            "giving.answering.undo_decline",
            "giving.departures.undo_gone",
            "giving.lapsing.undo_extend",
            "giving.views.undo_came_back",
            "giving.views.undo_hand_over",
            "giving.views.undo_promise",
            "giving.views.undo_standing",
            "giving.views.undo_withdraw",
            "history.views.undo",
            "makers.form.views.maker_back",
            "makers.merging.undo",
            "people.merging.undo",
            "photos.views.put_back",
            "products.merging.undo",
            "safekeeping.restoring.give_up",
            "safekeeping.take_in.undo",
            "settings.town_lists.town_list_restore",
            "shelves.check.result.go_on",
            "shelves.upkeep.undo_done",
            "still_looking_for.views.again",
            "towns.merging.undo",
            "workbench.baths.put_all_back",
            "workbench.baths.put_back",
            "workbench.conditions.undo_stage",
            "workbench.pieces.undo",
            "workbench.soaks.put_all_back",
            "workbench.soaks.put_back",
        ],
        TAKES_BACK,
    ),
    **dict.fromkeys(
        [
            "finds.bulk.views.shelf_sessions",
            "finds.detail.acts.add_part",
            "finds.form.views.new_find",
            "finds.list.saved_views.saved_views",
            "labels.views.tags",
            "makers.files.views.maker_file_in",
            "photos.views.add",
            "shelves.check.walking.begin",
            "workbench.bath_planning.new",
            "workbench.equipment.add",
            "workbench.equipment.usual",
            "workbench.soaks.new",
        ],
        MADE,
    ),
    **dict.fromkeys(
        [
            "finds.plates.measure.write",
            "finds.plates.read_views.read",
            "finds.story.views.keep_story",
            "finds.unfinished.views.next_find",
            "photos.views.use_position",
        ],
        ITS_HISTORY,
    ),
    **dict.fromkeys(
        [
            "bottlers.merging.apart",
            "dives.sites.clear",
            "dives.sites.hold_again",
            "finds.bulk.views.shelf_bin",
            "finds.detail.acts.match",
            "finds.detail.acts.share",
            "finds.detail.telling.tell",
            "finds.list.saved_views.put_view_away",
            "finds.list.saved_views.rename_view",
            "finds.plates.lay.lay",
            "makers.form.views.maker_bin",
            "makers.merging.apart",
            "people.merging.apart",
            "photos.views.make_cover",
            "photos.views.move",
            "photos.views.order",
            "photos.views.put_in_bin",
            "photos.views.roles",
            "products.merging.apart",
            "settings.views.keyboard",
            "shelves.check.walking.tick",
            "still_looking_for.views.years",
            "towns.merging.apart",
        ],
        ONE_BUTTON,
    ),
    **dict.fromkeys(
        [
            "access.views.enter",
            "access.views.leave",
            "settings.api_keys.api_key_end",
            "settings.api_keys.api_keys",
            "settings.views.phones",
            "settings.views.set_password",
            "settings.views.sign_out",
        ],
        DOOR,
    ),
    **dict.fromkeys(
        [
            "bin.views.empty",
            "giving.answering.erase",
            "people.views.erase_person",
            "safekeeping.views.delete_day",
        ],
        FOR_GOOD,
    ),
    "labels.printing.labels": "where a sheet's last print ended is taken back on the same page",
    "giving.asking.ask": "a visitor's: taken back by the button that stands there from then on",
    "people.views.person": "of people nothing earlier is kept, so that erasing one leaves nothing",
    **dict.fromkeys(
        [
            "finds.plates.read_views.save",
            "photos.holding.hold_one",
            "photos.holding.let_one_go",
            "safekeeping.backups.back_up_now",
            "safekeeping.backups.look_through",
            "safekeeping.backups.one_file",
            "safekeeping.backups.place",
            "safekeeping.backups.stop",
            "safekeeping.make_pages.carry_away",
            "safekeeping.restoring.restore",
            "safekeeping.sending.begin",
            "safekeeping.sending.drop",
            "safekeeping.sending.part",
            "safekeeping.views.move_aside",
            "settings.town_lists.town_list_delete",
            "settings.town_lists.town_lists",
        ],
        FILES,
    ),
    **dict.fromkeys(
        [
            "dives.sites.picture_position",
            "safekeeping.take_in.columns",
            "safekeeping.take_in.drop",
            "safekeeping.take_in.pictures",
            "safekeeping.take_in.take_in",
            "finds.form.views.date_so_far",
            "finds.many.views.choose",
            "makers.form.views.maker_live",
            "reference.redating.views.redate_now",
            "workbench.bath_planning.note_pieces",
        ],
        NOTHING_WRITTEN,
    ),
    **dict.fromkeys(
        [
            "dives.card.views.arrive",
            "dives.card.views.card",
            "finds.bulk.many.many",
            "finds.bulk.views.shelf_session",
            "shelves.check.pictures.pictures",
            "shelves.check.walking.numbers",
            "shelves.views.put_here",
        ],
        PIECEWISE,
    ),
    **dict.fromkeys(
        [
            "workbench.bath_planning.change",
            "workbench.bath_planning.pieces",
            "workbench.baths.end",
            "workbench.baths.look",
            "workbench.baths.set_right",
            "workbench.baths.start",
            "workbench.conditions.condition",
            "workbench.conditions.parts",
            "workbench.pieces.aim",
            "workbench.pieces.finish",
            "workbench.pieces.growth_kept",
            "workbench.pieces.look",
            "workbench.pieces.use",
            "workbench.soaks.pieces",
            "workbench.soaks.reading",
            "workbench.soaks.rule",
            "workbench.soaks.soak",
        ],
        OF_THE_BENCH,
    ),
}


@cache
def functions_of(module: str) -> dict[str, set[str]]:
    """Names that each function of a module of pages calls."""
    path = ROOT / "catalogue" / "pages" / (module.replace(".", "/") + ".py")
    found = {}
    for node in ast.walk(parsed(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.FunctionDef):
            calls = [each.func for each in ast.walk(node) if isinstance(each, ast.Call)]
            found[node.name] = {call.id for call in calls if isinstance(call, ast.Name)}
    return found


def offers_undo(view: str) -> bool:
    """Whether the view, or what it calls in its module, says what it did with Undo."""
    module, _, name = view.rpartition(".")
    own, seen, waiting = functions_of(module), set(), [name]
    while waiting:
        current = waiting.pop()
        if current in seen or current not in own:
            continue
        seen.add(current)
        if own[current] & SAYS_UNDO:
            return True
        waiting += own[current] & set(own)
    return False


def test_every_posted_act_offers_undo_or_says_why_not() -> None:
    assert len(VIEWS) > 100
    without = {view for view in VIEWS if not offers_undo(view)}
    assert without - set(WHY_NOT) == set(), "offer Undo (say_saved, say_with_undo), or say here why not"


def test_no_reason_is_kept_for_what_offers_it_or_is_gone() -> None:
    assert [view for view in WHY_NOT if view not in VIEWS or offers_undo(view)] == []


def test_the_look_tells_the_two_apart() -> None:
    assert offers_undo("towns.views.town_edit") and offers_undo("bin.views.throw")
    assert not offers_undo("bin.views.empty")
