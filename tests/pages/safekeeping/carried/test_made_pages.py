"""Pages to carry away: what stands in them, that every link leads somewhere, how much each weighs."""

import io
import json
import re
import shutil
import zipfile
from html import unescape
from threading import Event

import pytest
from django.core.management import CommandError, call_command

from catalogue import environment
from catalogue.common.models import HouseSettings
from catalogue.exchange.backup.running import WorkRefused
from catalogue.exchange.public_pages.target import PAGES_LIST
from catalogue.pages.safekeeping.carried import make as making
from catalogue.pages.safekeeping.carried.make import make_pages
from catalogue.pages.safekeeping.carried.rendered import LeadsOut, RenderedPages
from catalogue.photos import files
from catalogue.photos.models import Photo
from catalogue.photos.services import take_in
from catalogue.specimens.models import Specimen
from tests import factories as make
from tests.conftest import laid_out
from tests.photos.drawn import jpeg

from .rows import pages_of, read_back, resolved, small_catalogue, weight


@pytest.fixture(scope="module")
def made(module_pictures):
    return module_pictures(small_catalogue)


@pytest.fixture
def catalogue(made, db, data_folder):
    laid_out(made, data_folder)


@pytest.fixture
def target(tmp_path_factory):
    return tmp_path_factory.mktemp("stick") / "pages"


def text(content: bytes) -> str:
    return " ".join(re.sub(r"<[^>]*>", " ", content.decode()).split())


def test_every_shown_piece_has_a_page_and_nothing_else_has(catalogue, target):
    said = make_pages(target)
    found = read_back(target)
    numbers = Specimen.objects.for_visitors().values_list("number", flat=True)
    assert {name for name in found if name.startswith("pieces/")} == {f"pieces/{n}.html" for n in numbers}
    assert (said.pieces, said.free, said.pictures) == (3, 1, 4)
    assert said.files == len(found) and said.bytes == sum(map(len, found.values()))
    assert not [name for name, content in found.items() if b"Quorrel" in content]


def test_a_piece_says_what_the_visitors_page_says(catalogue, target, client):
    HouseSettings.objects.update_or_create(pk=1, defaults={"owner_name": "Ansel", "ask_line": "Ring twice."})
    find = Specimen.objects.get(standing="free")
    make_pages(target)
    page = text(read_back(target)[f"pieces/{find.number}.html"])
    served = text(client.get(find.get_absolute_url()).content)
    for words in (
        find.made_words,
        "free to take",
        "QUILL & SONS".replace("&", "&amp;"),
        "It lay in ooze.",
        "marked for Marrowby",
        "Brackwater Bottle Company",
        "To ask for a piece that is free to take",
        "Ring twice.",
        "Before you use it.",
    ):
        assert words in page and words in served, words
    promised = Specimen.objects.get(standing="promised")
    assert "Promised." in text(read_back(target)[f"pieces/{promised.number}.html"])


def test_every_link_leads_to_a_file_of_the_folder(catalogue, target):
    make_pages(target)
    found = read_back(target)
    for name in pages_of(found):
        links = re.findall(r'(?:href|src)="([^"]+)"', found[name].decode())
        assert links
        for link in links:
            if not link.startswith("#"):
                assert resolved(name, link) in found, (name, link)
    linked = {
        resolved(name, link)
        for name in pages_of(found)
        for link in re.findall(r'(?:href|src)="([^"]+)"', found[name].decode())
    }
    unasked = set(found) - linked - {PAGES_LIST, "pieces.js", "static/common/face.woff2"}
    # Of a piece with one picture the small one is asked for by cards alone, of others by its page.
    assert not unasked


def test_nothing_is_asked_of_anybody_outside(catalogue, target):
    make_pages(target)
    for name, content in read_back(target).items():
        if name.endswith((".html", ".css")):
            assert not re.search(
                rb'(?:src|href|action)="?(?:[a-z]+:|//|/)|url\(["\']?(?:[a-z]+:|/)', content
            ), name
        if name.endswith(".html"):
            assert b'http-equiv="Content-Security-Policy" content="default-src \'none\';' in content
            assert not re.search(rb"\sstyle=|\son[a-z]+=|<form", content)
        if name.endswith(".js"):
            assert not re.search(rb"\bfetch\(|XMLHttpRequest|WebSocket|sendBeacon|^\s*import", content, re.M)


def test_all_pieces_are_listed_without_a_script(catalogue, target):
    make_pages(target)
    found = read_back(target)
    listed = {
        resolved(name, link)
        for name in pages_of(found)
        if name.startswith("index")
        for link in re.findall(r'class="name" href="([^"]+)"', found[name].decode())
    }
    assert listed == {name for name in found if name.startswith("pieces/")}
    assert b"Marrowby" in found["towns.html"] and b"Aqua soda bottle" in found["towns/marrowby.html"]
    maker = found["makers/brackwater-bottle-company.html"]
    assert b"Aqua soda bottle" in maker and b"Ink cone" not in maker
    assert b"1930s" in found["decades.html"] and b"Aqua soda bottle" in found["decades/1930s.html"]


def test_long_lists_come_in_pages_and_each_weighs_little(catalogue, target):
    for n in range(40):
        make.find(f"Bottle {n}", shared=True)
    make_pages(target)
    found = read_back(target)
    assert "index-3.html" in found and "index-4.html" not in found
    heaviest = max(pages_of(found), key=lambda name: weight(name, found))
    assert weight(heaviest, found) < 200_000, (heaviest, weight(heaviest, found))


def test_the_search_holds_every_piece_once(catalogue, target):
    make_pages(target)
    script = read_back(target)["pieces.js"].decode()
    said = json.loads(script.removeprefix("window.carriedPieces=").rstrip(";\n"))
    assert len(said["rows"]) == 3
    words = " ".join(row[0] for row in said["rows"])
    assert "QUILL & SONS" in words and "It lay in ooze." in words


def test_only_free_ones_where_asked(catalogue, target):
    assert make_pages(target, free_only=True).pieces == 1
    assert len([name for name in read_back(target) if name.startswith("pieces/")]) == 1


def test_an_empty_catalogue_makes_pages_too(catalogue, target):
    Specimen.objects.update(shared=False, standing="kept")
    assert make_pages(target).pieces == 0
    found = read_back(target)
    assert b"Nothing is shown just now." in found["index.html"] and b"Leave" in found["exhibit.html"]


def test_pictures_beyond_nine_stand_on_pages_of_their_own_and_a_lost_one_is_left_out(
    catalogue, target, monkeypatch
):
    find = Specimen.objects.get(standing="free")
    for n in range(11):
        photo = take_in(jpeg(tint=4 + n * 9, width=50, height=70), subject=find, role=Photo.Role.DETAIL)
    files.size(photo.sha256, "small").unlink()
    files.original(photo.sha256, photo.format).unlink()
    monkeypatch.setattr("catalogue.pages.safekeeping.carried.beside.MORE_ON_A_PAGE", 2)
    assert make_pages(target).pictures == 12 + 2
    found = read_back(target)
    first, second = (f"more/{find.number}-pictures{more}.html" for more in ("", "-2"))
    assert "Show 3 more pictures" in text(found[f"pieces/{find.number}.html"])
    shown = [found[name].decode().count("-small.jpg") for name in (first, second)]
    assert shown == [2, 1] and "Show more" in text(found[first]) and "Show more" not in text(found[second])
    assert f"{find.number}-pictures-3" not in "".join(found)
    Photo.objects.filter(find=find).exclude(pk=photo.pk).delete()
    make_pages(target)
    assert not [name for name in read_back(target) if name.startswith(f"pictures/{find.number}-")]


def test_before_and_after_stand_side_by_side_on_a_light_page(catalogue, target):
    make_pages(target)
    found = read_back(target)
    find = Specimen.objects.get(standing="free")
    compared = f"more/{find.number}-before-after.html"
    assert f"{find.number}-before-after.html" in found[f"pieces/{find.number}.html"].decode()
    page = found[compared].decode()
    assert re.findall(r"<figcaption>(\w+)", page) == ["before", "after"]
    assert weight(compared, found) < 200_000
    assert sum(name.endswith("-before-after.html") for name in found) == 1, "no other piece has both"


def test_the_exhibit_of_many_is_in_parts_that_lead_on(catalogue, target, monkeypatch):
    monkeypatch.setattr(making, "EXHIBITED_ON_A_PAGE", 2)
    make_pages(target)
    found = read_back(target)
    first, second = found["exhibit.html"].decode(), found["exhibit-2.html"].decode()
    assert 'data-earlier="exhibit-2.html" data-later="exhibit-2.html"' in first
    assert 'data-later="exhibit.html"' in second and ", part 2 of 2" in second
    assert "exhibit-3.html" not in found
    monkeypatch.undo()
    make_pages(target)
    assert "data-earlier" not in read_back(target)["exhibit.html"].decode()
    assert "exhibit-2.html" not in read_back(target)


def test_a_zip_is_sent_while_it_is_made_and_holds_the_same(catalogue, target, owner_client):
    make_pages(target)
    answer = owner_client.get("/safekeeping/pages/file/")
    assert answer["Content-Type"] == "application/zip" and 'filename="pages-' in answer["Content-Disposition"]
    parts = list(answer.streaming_content)
    assert len(parts) > 3, "as it is made, not at its end"
    with zipfile.ZipFile(io.BytesIO(b"".join(parts))) as archive:
        assert archive.testzip() is None
        sent = {name.removeprefix("siltmark-pages/"): archive.read(name) for name in archive.namelist()}
    assert sent == read_back(target)
    with pytest.raises(zipfile.BadZipFile):
        zipfile.ZipFile(io.BytesIO(b"".join(parts[:-1])))
    free = b"".join(owner_client.get("/safekeeping/pages/file/?which=free").streaming_content)
    names = zipfile.ZipFile(io.BytesIO(free)).namelist()
    assert sum(name.startswith("siltmark-pages/pieces/") for name in names) == 1


@pytest.mark.parametrize("missing", ["common/face.woff2", "pages/exhibit/exhibit.js"])
def test_where_a_file_of_the_programs_own_is_missing_no_download_begins(
    catalogue, target, owner_client, monkeypatch, tmp_path, caplog, missing
):
    """The face is made where the program is built: a copy of its source has none. A sheet asks for it."""
    shutil.copytree(environment.resource_folder("static"), tmp_path / "static")
    (tmp_path / "static" / missing).unlink()
    monkeypatch.setattr("catalogue.exchange.public_pages.assets.static_file", (tmp_path / "static").joinpath)
    name = missing.rpartition("/")[2]
    answer = owner_client.get("/safekeeping/pages/file/", follow=True)
    page = unescape(text(answer.content))
    assert answer.redirect_chain == [("/safekeeping/pages/", 302)]
    assert f"No pages were made: {name}, a file of the program itself, can't be read" in page
    assert "Install the program anew" in page
    assert [record.getMessage() for record in caplog.records] == [
        f"no pages can be made: {name} (No such file or directory)"
    ]
    with pytest.raises(CommandError, match=f"No pages were made: {name}"):
        call_command("make_pages", str(target))
    assert not list(target.parent.iterdir())


def test_licence_and_credit_of_a_picture_are_told(catalogue, target):
    Photo.objects.filter(find__standing="free").update(licence="CC BY 4.0", credit="Ida Finch")
    make_pages(target)
    found = read_back(target)
    assert "2 pictures: CC BY 4.0" in text(found["about.html"])
    page = found[f"pieces/{Specimen.objects.get(standing='free').number}.html"]
    assert "Ida Finch · CC BY 4.0" in text(page)


def test_a_stop_leaves_nothing(catalogue, target):
    stop = Event()
    with pytest.raises(WorkRefused, match="stopped"):
        make_pages(target, stop=stop, progress=lambda *_: stop.set())
    assert not list(target.parent.iterdir())


def test_a_piece_closed_meanwhile_is_left_out_and_no_link_leads_to_it(catalogue, target, monkeypatch):
    monkeypatch.setattr(making, "FINDS_AT_ONCE", 1)
    second = list(Specimen.objects.for_visitors().order_by("-number_ordinal"))[1]

    def close(done: int, of: int) -> None:
        Specimen.objects.filter(pk=second.pk).update(shared=False, standing="kept")

    make_pages(target, progress=close)
    found = read_back(target)
    assert not [name for name, content in found.items() if second.number.encode() in content]


def test_progress_is_told(catalogue, target):
    told = []
    make_pages(target, progress=lambda done, of: told.append((done, of)))
    assert told == [(1, 3), (2, 3), (3, 3)]


def test_a_link_that_leads_out_is_a_mistake_of_ours_and_stops_it(catalogue, target, monkeypatch):
    def leads_out(*given):
        return '<a href="/finds/">'

    monkeypatch.setattr("catalogue.pages.safekeeping.carried.rendered.render_to_string", leads_out)
    with pytest.raises(LeadsOut, match='href="/finds/'):
        RenderedPages(None, {}, {}).page("index.html", "x.html", {})  # type: ignore[arg-type]


def test_the_command_writes_a_zip_and_says_so(catalogue, target, capsys):
    zipped = target.with_suffix(".zip")
    call_command("make_pages", str(zipped), "--free-only")
    assert "Pages of 1 piece with 2 pictures are whole" in capsys.readouterr().out
    with zipfile.ZipFile(zipped) as archive:
        assert "pages/index.html" in archive.namelist() and archive.testzip() is None


def test_the_command_refuses_in_a_sentence(catalogue, target):
    target.mkdir()
    (target / "mine.txt").write_text("x")
    with pytest.raises(CommandError, match="holds no pages made here"):
        call_command("make_pages", str(target))
    assert (target / "mine.txt").exists()


def test_a_break_by_hand_is_said(catalogue, target, monkeypatch):
    def broken(*given, **more):
        raise KeyboardInterrupt

    monkeypatch.setattr(making, "piece_in_hand", broken)
    with pytest.raises(CommandError, match="nothing of them is left"):
        call_command("make_pages", str(target))
    assert not list(target.parent.iterdir())
