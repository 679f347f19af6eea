"""What waits for somebody today: baths to look into, water to change, promises, what lies on the bench."""

from dataclasses import dataclass
from datetime import date

from django.conf import settings
from django.db.models import Count
from django.urls import reverse
from django.utils import timezone

from catalogue.care.acts import hazards_of
from catalogue.care.queries.workbench import BathRow, SoakRow, open_baths, open_soaks
from catalogue.care.stored_flags import read
from catalogue.common.localisation import clock_words, day_words
from catalogue.common.text import isolated
from catalogue.exchange.backup import daily
from catalogue.exchange.backup.daily import Safety
from catalogue.giving.models import Promise
from catalogue.giving.queries import promised, waiting_requests
from catalogue.pages.shelves.due import due_upkeep_now
from catalogue.photos.services.integrity import count_amiss
from catalogue.sites.grounds import GroundsState, Outlook
from catalogue.sites.models import Site
from catalogue.sites.queries import outlook_at
from catalogue.specimens import clock
from catalogue.specimens.models import Specimen, Town
from catalogue.specimens.queries import unplaced
from catalogue.specimens.services.which_town import MOST_ASKED, open_towns

PROMISES = 3
PIECES = 3
# Sites of one state that have a line of their own before the rest is told in one.
SITES = 3
# Places due that have a line of their own.
PLACES_DUE = 2


@dataclass(frozen=True, slots=True)
class ToDo:
    """One line: what, where it is done, the word on its button, and whether it is overdue."""

    words: str
    address: str
    urgent: bool = False
    act: str = "Open"


def to_do(*, undated: int) -> list[ToDo]:
    """What is most due first. Sixteen queries: three for baths, three for soaks, requests, promises,
    pictures, what is held back, sites with their permissions, towns without a position, pieces without a
    place, intervals of dusting (three more where there are some), the bench by stages."""
    now, today = timezone.now(), timezone.localdate()
    baths = [_bath(row) for row in open_baths(now) if row.load]
    soaks = [_soak(row) for row in open_soaks(now) if row.change_due]
    found = [
        *_backup(),
        *_originals(),
        *_held_back(),
        *baths,
        *soaks,
        *_requests(),
        *_promises(list(promised()[: PROMISES + 1]), today),
    ]
    found += _permissions(clock.today())
    if undated:
        pieces = "piece is" if undated == 1 else "pieces are"
        words = f"{undated} {pieces} not yet dated: identify the next"
        found.append(ToDo(words, reverse("finds:next"), act="Date"))
    found += _towns()
    found += _shelves(today)
    found += _bench()
    return sorted(found, key=lambda each: not each.urgent)


def _backup() -> list[ToDo]:
    """That there is no good backup, or only an old one; nothing where all is well, or in the demo."""
    if settings.DEMO:
        return []
    now = daily.state()
    address = reverse("safekeeping:safekeeping")
    last = f" The last one is of {day_words(now.last.at.date())}" if now.last else ""
    words = {
        Safety.NOT_CHOSEN: "No backup is made of this catalogue: choose a disk for it",
        Safety.DISK_MISSING: f"The disk of the backups is not there.{last}",
        Safety.AMISS: "Backups are damaged: look what is amiss",
        Safety.NEVER: f"There is no backup yet.{last}",
        Safety.OLD: f"There was no good backup for a week.{last}",
    }
    if now.safety not in words:
        return []
    return [ToDo(words[now.safety], address, urgent=now.safety is Safety.AMISS)]


def _bath(row: BathRow) -> ToDo:
    pieces = _pieces(len(row.inside))
    address = reverse("workbench:bath", args=[row.bath.pk])
    if row.late:
        return ToDo(
            f"Overdue: take {pieces} out of the bath in {row.bath.vessel.name} now", address, True, "Take out"
        )
    if row.to_look:
        words = f"Look into the bath in {row.bath.vessel.name} now: {pieces}"
        return ToDo(words, address, True, "Look in")
    at = f": look in at {clock_words(row.due)}" if row.due else ""
    return ToDo(f"A bath is running in {row.bath.vessel.name} with {pieces}{at}", address, act="Look in")


def _soak(row: SoakRow) -> ToDo:
    words = f"Change the water of {row.soak.name}, {_pieces(len(row.members))} soaking"
    return ToDo(words, reverse("workbench:soak", args=[row.soak.pk]))


STAGE_WORDS = {
    "wet": "wet, waiting for fresh water",
    "soaking": "soaking the salt out",
    "cleaning": "being cleaned",
    "drying": "drying",
}


def _bench() -> list[ToDo]:
    """What lies on the bench, by stages in their order."""
    stages = Specimen.objects.on_the_bench().order_by().values_list("stage").annotate(n=Count("pk"))
    there = dict(stages)
    bench = reverse("workbench:workbench")
    return [
        ToDo(f"{_pieces(there[stage])} {words}", f"{bench}#{stage}")
        for stage, words in STAGE_WORDS.items()
        if stage in there
    ]


def _towns() -> list[ToDo]:
    """Towns of which it is to be said which listed one they are."""
    asked = open_towns(Town.objects.filter(latitude=None).order_by("name", "region")[:MOST_ASKED])
    if not asked:
        return []
    if len(asked) == 1:
        words = f"Which {isolated(asked[0].name)} is it? Several towns fit, or one nearly"
        return [ToDo(words, asked[0].get_absolute_url(), act="Choose")]
    return [ToDo(f"{len(asked)} towns fit several on the list: which ones are they?", reverse("towns:towns"))]


def _shelves(today: date) -> list[ToDo]:
    """Finished pieces that have no place, and where dusting or a look at the light is due."""
    address = reverse("shelves:shelves")
    found = []
    # What is still worked on lies on the bench.
    if count := unplaced().filter(stage=Specimen.Stage.DONE).count():
        have = "piece has" if count == 1 else "pieces have"
        words = f"{count} finished {have} no place: say where {'it stands' if count == 1 else 'they stand'}"
        found.append(ToDo(words, f"{address}#unplaced", act="Move"))
    due = due_upkeep_now(today)
    for each in due[:PLACES_DUE]:
        place = reverse("shelves:place", args=[each.state.place.pk])
        found.append(ToDo(each.words, f"{place}#upkeep"))
    if len(due) > PLACES_DUE:
        found.append(ToDo("More places are due for dusting or a look at the light", f"{address}#due"))
    return found


def _held_back() -> list[ToDo]:
    """Pieces that were set free or shared before a hazard was seen: visitors don't see them meanwhile."""
    found = list(Specimen.objects.held_back().in_order()[: PIECES + 1])
    lines = []
    for find in found[:PIECES]:
        was = "free to take" if find.standing == Specimen.Standing.FREE else "shared"
        hazards = ", ".join(gate.name for gate in hazards_of(read(find.care_flags)))
        words = f"{find.what} was {was} and is held back: {hazards}. See what to do with it"
        lines.append(ToDo(words, find.get_absolute_url(), True))
    if len(found) > PIECES:
        lines.append(
            ToDo("More pieces are held back by a hazard", f"{reverse('finds:finds')}?hazard=any", True)
        )
    return lines


def _requests() -> list[ToDo]:
    """Visitors that wait for an answer, of pieces that are free to take."""
    waiting, pieces = waiting_requests()
    if not waiting:
        return []
    who = "Somebody asks" if waiting == 1 else f"{waiting} people ask"
    words = f"{who} for {'a piece' if pieces == 1 else f'{pieces} pieces'}: promise it, or decline"
    return [ToDo(words, f"{reverse('giving:giving')}#asked-heading", act="Open")]


def _promises(promises: list[Promise], today: date) -> list[ToDo]:
    found = []
    for promise in promises[:PROMISES]:
        last = promise.until
        until = f" by {day_words(last, year=last.year != today.year)}" if last else ""
        overdue = bool(promise.until and promise.until < today)
        words = f"{isolated(promise.find.what)} is promised to {isolated(promise.person.name)}{until}"
        if overdue:
            # Reminded, never done by itself: the page of the piece frees it or gives it more time.
            words = f"Overdue: {words}. Free it, or give it more time"
        found.append(ToDo(words, f"{promise.find.get_absolute_url()}#now", overdue))
    if len(promises) > PROMISES:
        found.append(ToDo("More is promised", reverse("giving:giving")))
    return found


MORE_SITES = {
    GroundsState.LAPSED: "More permissions have lapsed",
    GroundsState.EXPIRING: "More permissions end within a month",
    GroundsState.NOT_BEGUN: "More permissions have not begun",
    GroundsState.NOT_ASKED: "More sites where nobody was asked yet",
    GroundsState.NONE: "More sites without an answer on record",
}


def _permissions(today: date) -> list[ToDo]:
    """What to ask before the next dive, what has lapsed first; it is about coming dives and no find's."""
    by_state: dict[GroundsState, list[tuple[Site, Outlook]]] = {state: [] for state in MORE_SITES}
    for site in Site.objects.prefetch_related("permissions").order_by("name"):
        outlook = outlook_at(site, today)
        if outlook.cautioned:
            by_state[outlook.state].append((site, outlook))
    found = []
    for state, rows in by_state.items():
        urgent = state in (GroundsState.LAPSED, GroundsState.EXPIRING)
        for site, outlook in rows[:SITES]:
            found.append(ToDo(outlook.due(str(site)), f"{site.get_absolute_url()}#asked", urgent))
        if len(rows) > SITES:
            found.append(ToDo(MORE_SITES[state], reverse("dives:dives"), urgent))
    return found


def _originals() -> list[ToDo]:
    count = count_amiss()
    if not count:
        return []
    are = "picture is" if count == 1 else "pictures are"
    return [
        ToDo(
            f"{count} original {are} missing or damaged: see which", reverse("safekeeping:safekeeping"), True
        )
    ]


def _pieces(count: int) -> str:
    return f"{count} piece{'' if count == 1 else 's'}"
