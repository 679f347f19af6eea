"""A real row for each place of an address: a small catalogue, one piece shown to visitors, one private."""

import re
from dataclasses import dataclass

from django.utils import timezone

from catalogue.access.models import ApiKey
from catalogue.access.services import the_owner
from catalogue.care.models import BenchPhoto, ConditionReport, SoakReading, Treatment
from catalogue.care.services import start_load, start_soak
from catalogue.common.models import Merge
from catalogue.giving.models import PieceRequest
from catalogue.labels.models import OwnSheet, TagRun
from catalogue.photos import files
from catalogue.photos.models import CardPicture, LaidPair, Photo, ShelfSession
from catalogue.photos.services import take_in
from catalogue.photos.services.uploads import hold, store
from catalogue.shelves.models import Place, Upkeep
from catalogue.sites.models import Permission
from catalogue.specimens.models import BatchAct, CheckedPiece, Move, SavedView, Specimen, Wish
from catalogue.specimens.models.reading import Opinion
from catalogue.specimens.services.shelf_checks import begin_check, end_check
from tests import factories as make
from tests.care.makers import bath, crusted, soak, tool, tub
from tests.exchange.takein.sheets import taken
from tests.photos.drawn import encoded, jpeg, picture

# Words of the private rows: no answer to a stranger or a visitor may hold one.
PRIVATE = ("Quorrel", "Zannick", "Vossipel")
PLACE = re.compile(r"<(?:\w+:)?(\w+)>|\(\?P<(\w+)>(?:[^()]|\([^()]*\))*\)")


@dataclass(frozen=True, slots=True)
class Examples:
    """What stands in the places of an address, by how the address begins; the longest beginning counts."""

    shown: dict[tuple[str, str], object]
    private: dict[tuple[str, str], object]
    # What some addresses ask for behind the question mark.
    queries: dict[str, str]

    def fill(self, address: str, *, private: bool = False) -> str:
        """The address with a row in each place. KeyError where one has none."""

        def row(match: re.Match[str]) -> str:
            name = match[1] or match[2]
            found = _fitting(self.private, address, name) if private else None
            found = _fitting(self.shown, address, name) if found is None else found
            if found is None:
                raise KeyError(f"/{address}: no example for {name}, see tests/access/example_rows.py")
            return str(found)

        filled = PLACE.sub(row, address)
        return (
            "/" + filled.replace("^", "").replace("$", "").replace("\\", "") + self.queries.get(address, "")
        )


def _shelves(place: Place, private: Specimen) -> dict[tuple[str, str], object]:
    """An ended check of the place and one that goes on; a neighbour of it; a piece that stands there."""
    check = begin_check(place, with_inside=False)
    end_check(check, [place.pk])
    begin_check(place, with_inside=False)
    return {
        ("shelves/", "check"): check.pk,
        ("shelves/", "to"): place.pk,
        ("shelves/", "row"): CheckedPiece.objects.create(check_of=check, find=make.find(), seen="here").pk,
        ("shelves/", "beside"): make.place("Beside it").pk,
        ("shelves/", "find"): private.pk,
        ("shelves/", "before"): 0,
        ("shelves/", "version"): "0",
        ("shelves/", "key"): Upkeep.objects.create(place=place, what="dusted").pk,
    }


def _fitting(rows: dict[tuple[str, str], object], address: str, name: str) -> object | None:
    begins = [begin for begin, place in rows if place == name and address.startswith(begin)]
    return rows[max(begins, key=len), name] if begins else None


def made_examples() -> Examples:
    """The rows, made once. Needs a data folder for pictures."""
    site = make.site(f"{PRIVATE[0]} Ledge", latitude=44.51, longitude=-67.28)
    dive, place = make.dive(site), make.place(f"{PRIVATE[1]} case")
    person = make.person(f"{PRIVATE[2]} Quick")
    maker, town = make.brackwater(), make.town()
    bottler, product = make.bottler(town=town), make.product()
    given = {"dive": dive, "place": place, "town": town, "bottler": bottler, "product": product}
    free = crusted("Free soda bottle", shared=True, notes=PRIVATE[0], **given)
    private = crusted(f"{PRIVATE[1]} jar", **given)
    keys = _pictures(free, private) | _bench(free, private)
    opinion = Opinion.objects.create(find=free, about="maker", value=str(maker), maker=maker, on=dive.date)
    move = Move.objects.create(find=free, to_place=place)
    done = BatchAct.objects.create(finds=[free.pk], kind="place", done_at=timezone.now())
    others = [make.town("Ellarn"), make.bottler("Finch"), make.product("Finch's stout"), make.person("Ida")]
    for kind, other, kept in zip(
        ("town", "bottler", "product", "person"), others, (town, bottler, product, person), strict=True
    ):
        merged = Merge.objects.create(kind=kind, gone=other.pk, kept=kept.pk)
        room = {"person": "people"}.get(kind, f"{kind}s")
        keys |= {
            (f"{room}/merges/", "pk"): merged.pk,
            (f"{room}/apart/", "one"): min(other.pk, kept.pk),
            (f"{room}/apart/", "other"): max(other.pk, kept.pk),
        }
    second = make.keep_maker(make.Maker(name="Tarn Glass"))
    keys |= {
        ("makers/merges/", "pk"): Merge.objects.create(kind="maker", gone=second.pk, kept=maker.pk).pk,
        ("makers/apart/", "one"): maker.pk,
        ("makers/apart/", "other"): second.pk,
        ("", "number"): free.number,
        ("enter/", "key"): "no-such-key",
        ("giveaways/", "rest"): f"{free.number}/standing/",
        ("^giveaways/", "rest"): f"{free.number}/standing/",
        ("finds/views/", "pk"): SavedView.objects.create(name="Blue ones", query="colour=blue").pk,
        ("finds/many/", "pk"): done.pk,
        ("finds/suggest/", "kind"): "town",
        ("finds/<number:number>/move/", "pk"): move.pk,
        ("finds/<number:number>/seen/", "pk"): 1,
        ("finds/<number:number>/beside/", "pk"): 1,
        ("finds/<number:number>/beside/", "sides"): "left",
        ("finds/<number:number>/opinion/", "pk"): opinion.pk,
        ("finds/<number:number>/opinion/", "before"): 0,
        ("finds/<number:number>/changes/", "stamp"): int(timezone.now().timestamp() * 1_000_000),
        ("towns/", "slug"): town.slug,
        ("towns/bottlers/", "slug"): bottler.slug,
        ("bottlers/", "slug"): bottler.slug,
        ("products/", "slug"): product.slug,
        ("makers/", "slug"): maker.slug,
        ("dives/", "year"): dive.year,
        ("dives/", "ordinal"): dive.ordinal,
        ("dives/sites/", "slug"): site.slug,
        ("dives/sites/", "pk"): Permission.objects.create(site=site, basis="owner").pk,
        ("shelves/", "pk"): place.pk,
        **_shelves(place, private),
        ("people/", "pk"): person.pk,
        ("labels/tags/", "pk"): TagRun.objects.create(letters="A", first=1, last=20, page="A4").pk,
        ("labels/sheets/", "pk"): _own_sheet().pk,
        ("p/", "pk"): place.pk,
        ("settings/keys/", "pk"): ApiKey.objects.create(name="A program", digest="d").pk,
        ("api/", "kind"): "finds",
        ("api/", "name"): free.number,
        ("api/", "rest"): "nothing",
        ("history/", "kind"): "town",
        ("history/", "pk"): town.pk,
        ("history/", "entry"): town.history.latest().history_id,
        ("history/", "before"): town.history.latest().history_id,
        ("history/", "after"): 1,
        ("giving/", "entry"): 1,
        ("giving/", "key"): 1,
        ("giving/", "ordinal"): dive.date.toordinal(),
        ("giving/<number:number>/requests/", "key"): PieceRequest.objects.create(
            find=free, name=f"{PRIVATE[2]} Asker", reach=PRIVATE[0], message=PRIVATE[1], browser="digest"
        ).pk,
        ("safekeeping/", "what"): "unknown",
        ("safekeeping/take-in/", "pk"): taken([["What", "Height"], [PRIVATE[0], "24 cm"]]).pk,
        ("safekeeping/", "token"): "0" * 32,
        ("safekeeping/", "day"): "2026-01-01",
        ("settings/browsers/", "name"): "0123456789abcdef",
        ("settings/towns/", "country"): "NO",
        ("bin/", "kind"): "find",
        ("bin/", "pk"): free.pk,
        ("still-looking-for/", "pk"): Wish.objects.create(what="the half pint", maker=maker).pk,
        ("still-looking-for/", "slug"): maker.slug,
    }
    keys |= _in_bin(free)
    hidden = {("", "number"): private.number, ("bin/", "pk"): private.pk}
    of_private = Photo.objects.get(find=private).pk
    hidden |= {("photos/", "pk"): of_private, ("api/v1/pictures/", "pk"): of_private}
    hidden |= {("api/", "name"): private.number}
    of_free = f"?find={free.pk}"
    return Examples(keys, hidden, dict.fromkeys(("photos/add/", "photos/order/", "photos/roles/"), of_free))


def _own_sheet() -> OwnSheet:
    size = {"label_width_mm": 40, "label_height_mm": 30}
    return OwnSheet.objects.create(name=f"{PRIVATE[1]} roll", roll=True, **size)


def _in_bin(free: Specimen) -> dict[tuple[str, str], object]:
    """Rows that can be put back, and an opinion that can be held again."""
    maker = make.keep_maker(make.Maker(name="Ebb Glass"))
    view = SavedView.objects.create(name="Old ones")
    find = crusted("Chipped jar")
    photo = take_in(jpeg(tint=70, width=300, height=200), subject=free)
    shelf = ShelfSession.objects.create(photo=take_in(jpeg(tint=80, width=300, height=200), subject=find))
    for record in (maker, view, shelf, photo, find):
        record.put_in_bin()
    withdrawn = Opinion.objects.create(
        find=free, about="maker", value="", on=timezone.localdate(), current=False
    )
    return {
        ("makers/<str:slug>/back/", "slug"): maker.slug,
        ("finds/views/<whole:pk>/put-back/", "pk"): view.pk,
        ("finds/<number:number>/put-back/", "number"): find.number,
        ("finds/<number:number>/opinion/<whole:pk>/hold/", "pk"): withdrawn.pk,
        ("finds/shelf/<whole:pk>/put-back/", "pk"): shelf.pk,
        ("photos/<whole:pk>/put-back/", "pk"): photo.pk,
    }


def _pictures(free: Specimen, private: Specimen) -> dict[tuple[str, str], object]:
    """Pictures of both pieces, one on a shelf, one held by a form, one on a card, two laid on each other."""
    before = take_in(jpeg(width=400, height=300), subject=free, role=Photo.Role.AS_FOUND)
    after = take_in(jpeg(tint=9, width=400, height=300), subject=free, role=Photo.Role.AFTER)
    take_in(jpeg(tint=20, width=300, height=200), subject=private)
    # Cutting out is tried elsewhere: here a cut is a file that is there.
    Photo.objects.filter(pk=after.pk).update(cut_width=4, cut_height=4)
    files.cut(after.sha256).parent.mkdir(parents=True, exist_ok=True)
    files.cut(after.sha256).write_bytes(encoded(picture(4, 4), "WEBP"))
    assert private.dive and private.place
    LaidPair.objects.create(
        find=free, before=before, after=after, marks=[[10, 10, 10, 10], [90, 10, 90, 10], [50, 90, 50, 90]]
    )
    shelf = take_in(jpeg(tint=30, width=400, height=200), subject=private.place)
    held = hold(jpeg(tint=40, width=300, height=200), holder=f"user-{the_owner().pk}")
    on_card = CardPicture.objects.create(dive=private.dive, **store(jpeg(tint=50, width=300, height=200)))
    return {
        ("photos/", "pk"): after.pk,
        ("photos/", "size"): "small",
        ("api/v1/pictures/", "pk"): after.pk,
        ("api/v1/pictures/", "size"): "small",
        ("photos/", "where"): "earlier",
        ("photos/held/", "token"): held.token,
        ("photos/^card/", "pk"): on_card.pk,
        ("finds/shelf/", "pk"): ShelfSession.objects.create(photo=shelf, place=private.place).pk,
    }


def _bench(free: Specimen, private: Specimen) -> dict[tuple[str, str], object]:
    """A bath, a soak with a reading, a tool, a report and a treatment."""
    vessel = tub()
    running = bath(free, vessel=vessel)
    start_load(running)
    water = start_soak(soak(), [private])
    member, loaded = water.members.first(), running.members.first()
    assert member and loaded
    reading = SoakReading.objects.create(soak=water, value=300)
    report = ConditionReport.objects.create(find=free, on=timezone.localdate(), grade="sound")
    treatment = Treatment.objects.create(find=free, method="soak", begun=timezone.now())
    brush = tool()
    return {
        ("workbench/vessels/", "pk"): vessel.pk,
        ("workbench/kit/", "pk"): brush.pk,
        ("workbench/^(?P<what>", "what"): "vessel",
        ("workbench/^(?P<what>", "pk"): vessel.pk,
        ("workbench/^pictures/", "pk"): BenchPhoto.objects.create(vessel=vessel, **store(jpeg(tint=60))).pk,
        ("workbench/^pictures/", "size"): "small",
        ("workbench/baths/", "pk"): running.pk,
        ("workbench/baths/", "member"): loaded.pk,
        ("workbench/^baths/", "pk"): running.pk,
        ("workbench/^baths/", "members"): loaded.pk,
        ("workbench/soaks/", "pk"): water.pk,
        ("workbench/soaks/", "member"): member.pk,
        ("workbench/soaks/", "reading"): reading.pk,
        ("workbench/^soaks/", "pk"): water.pk,
        ("workbench/^soaks/", "members"): member.pk,
        ("workbench/<number:number>/clean/", "pk"): 1,
        ("workbench/<number:number>/stage/", "entry"): 1,
        ("workbench/<number:number>/condition/", "pk"): report.pk,
        ("workbench/<number:number>/treatment/", "pk"): treatment.pk,
    }
