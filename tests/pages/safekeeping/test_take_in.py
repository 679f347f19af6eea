"""The pages of a spreadsheet taken in: file, columns, rows, pictures, doing it once, undoing it."""

import io
import re
import time
import zipfile
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from catalogue.exchange.backup import running
from catalogue.exchange.models import TakeIn
from catalogue.pages.safekeeping import take_in as pages
from catalogue.photos.models import HeldPicture, Photo
from catalogue.specimens.models import Specimen
from tests import factories
from tests.exchange.takein.sheets import Rows, csv_of, xlsx_of

START = "/safekeeping/take-in/"
ROWS: Rows = [
    ["What", "Height", "Date", "Photo", "Price"],
    ["Jar", "24 cm", "2019-08-03", "IMG_1.jpg", "2.50"],
    ["Ink", "", "", "", ""],
]


@pytest.fixture(autouse=True)
def nothing_runs():
    """A task of another test is none of these."""
    running._current = None
    yield
    while (now := running.current()) and not now.ended:
        time.sleep(0.05)


def send(client, data: bytes, name: str = "finds.csv"):
    return client.post(START, {"file": SimpleUploadedFile(name, data)})


def begun(client, rows: Rows = ROWS) -> TakeIn:
    answer = send(client, csv_of(rows))
    assert answer.status_code == 302
    return TakeIn.objects.latest("pk")


def choose(client, take_in: TakeIn, **said: str):
    """Send the columns as the page shows them, with other answers on top."""
    address = f"{START}{take_in.pk}/"
    page = client.get(address).content.decode()
    data = {"stage": "done"}
    for name, inside in re.findall(r'<select name="([\w-]+)"[^>]*>(.*?)</select>', page, re.DOTALL):
        chosen = re.search(r'<option value="([^"]*)"\s+selected', inside)
        data[name] = chosen[1] if chosen else ""
    return client.post(address, data | said)


def shown(client, take_in: TakeIn, **query: str) -> str:
    return client.get(f"{START}{take_in.pk}/rows/", query).content.decode()


def do(client, take_in: TakeIn, how: str = "all", **said: str):
    take_in.refresh_from_db()
    sent = {"how": how, "shown": take_in.verdicts_digest, **said}
    return client.post(f"{START}{take_in.pk}/rows/", sent)


def picture() -> bytes:
    data = io.BytesIO()
    Image.new("RGB", (40, 30), "teal").save(data, "JPEG")
    return data.getvalue()


def test_from_the_file_to_the_finds_and_back(owner_client, db) -> None:
    take_in = begun(owner_client)
    page = owner_client.get(f"{START}{take_in.pk}/").content.decode()
    assert "24 cm" in page and "2 rows" in page and "into the notes" in page
    assert choose(owner_client, take_in).status_code == 302
    page = shown(owner_client, take_in)
    assert "Take in 2 rows" in page and "no dive on that day" in page and not Specimen.objects.exists()
    assert do(owner_client, take_in).status_code == 302
    jar = Specimen.objects.get(what="Jar")
    assert jar.notes == "Came up on 2019-08-03.\nPrice: 2.50" and jar.height_mm == 240
    page = shown(owner_client, take_in)
    assert "2 finds are new" in page and jar.number in page
    assert owner_client.get(START).content.decode().count("finds.csv") == 1
    undone = owner_client.post(f"{START}{take_in.pk}/undo/", follow=True).content.decode()
    assert "Undone: 2 new finds lie in the bin" in undone and not Specimen.objects.exists()
    again = owner_client.post(f"{START}{take_in.pk}/undo/", follow=True).content.decode()
    assert "nothing of it to undo" in again


def test_the_row_and_column_of_a_refusal_are_those_of_the_sheet(owner_client, db) -> None:
    take_in = begun(owner_client, [["What", "Height"], [], ["Jar", "tallish"], ["Ink", "5 cm"]])
    choose(owner_client, take_in)
    page = shown(owner_client, take_in)
    assert "Row 3" in page and "B, <bdi>Height</bdi>: “tallish” can&#x27;t be read" in page
    assert "Take in the 1 good row" in page
    assert do(owner_client, take_in, "all").status_code == 422
    assert do(owner_client, take_in, "good").status_code == 302
    assert [find.what for find in Specimen.objects.all()] == ["Ink"]


def test_what_keeps_several_rows_out_is_told_once_with_how_many(owner_client, db) -> None:
    rows = [["What", "Height"], *([f"Jar {n}", "tallish"] for n in range(3)), ["Ink", "wide"], ["Pot", ""]]
    take_in = begun(owner_client, rows)
    choose(owner_client, take_in)
    page = shown(owner_client, take_in)
    told = page.split("What keeps several of them out:")[1].split("</ul>")[0]
    assert "3 rows: B, Height: “tallish” can&#x27;t be read" in told and "wide" not in told
    assert "What keeps several" not in shown(owner_client, take_in, kind="new")


def test_while_it_runs_nothing_is_said_of_what_is_written(owner_client, db, monkeypatch) -> None:
    take_in = begun(owner_client)
    choose(owner_client, take_in)
    assert "nothing is written yet" in shown(owner_client, take_in)
    task = running.Task(f"Taking in {take_in.name}")
    monkeypatch.setattr(running, "_current", task)
    page = shown(owner_client, take_in)
    task.ended = True
    assert "at it just now" in page and "nothing is written yet" not in page


def test_what_changes_is_shown_old_and_new(owner_client, db) -> None:
    find = factories.find("Jar", height_mm=240)
    take_in = begun(owner_client, [["Number", "What it is", "Height, mm"], [find.number, "Jar", "250"]])
    choose(owner_client, take_in)
    page = shown(owner_client, take_in)
    assert "<del><bdi>240</bdi></del>" in page and "<ins><bdi>250</bdi></ins>" in page


def test_thirty_rows_a_page_and_one_kind_at_a_time(owner_client, db) -> None:
    take_in = begun(owner_client, [["What", "Height"], *([f"Jar {n}", "24 cm"] for n in range(50))])
    choose(owner_client, take_in)
    assert shown(owner_client, take_in).count('class="quiet">Row ') == 30
    assert shown(owner_client, take_in, page="2").count('class="quiet">Row ') == 20
    assert "50 new" in shown(owner_client, take_in, kind="nonsense", page="x")


def test_what_is_open_is_asked_and_comes_back_with_all_that_was_chosen(owner_client, db) -> None:
    rows: Rows = [["What", "Height", "Date"], ["Jar", "24", "3/4/2019"]]
    take_in = begun(owner_client, rows)
    answer = choose(owner_client, take_in, make_sites="on")
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Say the unit of the numbers" in page and "Say which comes first" in page
    assert re.search(r'name="make_sites"[^>]*checked', page)
    answered = {"unit-1": "cm", "order-2": "month"}
    assert choose(owner_client, take_in, **answered).status_code == 302
    do(owner_client, take_in)
    find = Specimen.objects.get()
    assert find.height_mm == 240 and find.notes == "Came up on 2019-03-04."
    second = begun(owner_client, rows)
    page = owner_client.get(f"{START}{second.pk}/").content.decode()
    assert "You said this of these headings before" in page
    assert re.search(r'<option value="month"\s+selected', page)


def test_two_columns_are_never_one_fact(owner_client, db) -> None:
    take_in = begun(owner_client)
    answer = choose(owner_client, take_in, **{"column-1": "what"})
    assert answer.status_code == 422 and "Column A is that already" in answer.content.decode()
    nothing = {f"column-{at}": "" for at in range(5)}
    assert "Every column is left out" in choose(owner_client, take_in, **nothing).content.decode()


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("finds.csv", b"", "empty"),
        ("finds.csv", b"What,Height\n", "only headings"),
        ("finds.xlsx", b"What,Height\nJar,1\n", "no spreadsheet"),
        ("finds.pdf", b"%PDF-1.7", "end in .csv"),
    ],
)
def test_a_bad_file_is_said_by_its_box_and_nothing_is_kept(owner_client, db, name, data, said) -> None:
    answer = send(owner_client, data, name)
    assert answer.status_code == 422 and said in answer.content.decode()
    assert not TakeIn.objects.exists()
    assert owner_client.post(START).status_code == 422


def test_a_second_tap_takes_nothing_in_twice(owner_client, db) -> None:
    take_in = begun(owner_client)
    choose(owner_client, take_in)
    take_in.refresh_from_db()
    sent = {"how": "all", "shown": take_in.verdicts_digest, "once": "one-key"}
    for _ in range(2):
        assert owner_client.post(f"{START}{take_in.pk}/rows/", sent).status_code == 302
    assert do(owner_client, take_in).status_code == 422
    assert Specimen.objects.count() == 2
    assert choose(owner_client, take_in).status_code == 302 and Specimen.objects.count() == 2


def test_two_windows_what_was_shown_is_what_is_written(owner_client, db) -> None:
    take_in = begun(owner_client)
    choose(owner_client, take_in)
    take_in.refresh_from_db()
    first = take_in.verdicts_digest
    choose(owner_client, take_in, **{"column-4": ""})
    answer = do(owner_client, take_in, shown=first)
    assert answer.status_code == 422 and "Look at them anew" in answer.content.decode()
    assert not Specimen.objects.exists()


def test_a_large_sheet_goes_on_beside_the_pages(owner_client, transactional_db, monkeypatch) -> None:
    monkeypatch.setattr(pages, "JUDGED_AT_ONCE", 1)
    monkeypatch.setattr(pages, "WRITTEN_AT_ONCE", 1)
    take_in = begun(owner_client)
    choose(owner_client, take_in)
    wait_for("rows of finds.csv were looked at")
    assert "Take in 2 rows" in shown(owner_client, take_in)
    assert do(owner_client, take_in).status_code == 302
    wait_for("2 finds are new")
    assert Specimen.objects.count() == 2


def wait_for(words: str) -> None:
    for _ in range(200):
        now = running.current()
        if now and now.ended:
            assert words in now.said, now.trouble
            return
        time.sleep(0.05)
    raise AssertionError("it never ended")


def test_one_thing_runs_at_a_time(owner_client, db, monkeypatch) -> None:
    monkeypatch.setattr(pages, "WRITTEN_AT_ONCE", 1)
    take_in = begun(owner_client)
    choose(owner_client, take_in)
    running._current = running.Task("A backup")
    answer = owner_client.get(do(owner_client, take_in)["Location"]).content.decode()
    running._current.ended = True
    assert "Something runs already" in answer and not Specimen.objects.exists()


def zip_of(**files: bytes) -> SimpleUploadedFile:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w") as archive:
        for name, content in files.items():
            archive.writestr(name.replace("__", "/").replace("_jpg", ".jpg"), content)
    return SimpleUploadedFile("pictures.zip", data.getvalue())


def give(client, take_in: TakeIn, **said: object) -> str:
    return client.post(f"{START}{take_in.pk}/pictures/", said, follow=True).content.decode()


def test_pictures_come_from_a_zip_by_their_names(owner_client, db, data_folder) -> None:
    take_in = begun(owner_client)
    choose(owner_client, take_in)
    page = shown(owner_client, take_in)
    assert "0 of 1 are here" in page and "IMG_1.jpg was not given yet" in page
    page = give(owner_client, take_in, zip=zip_of(cards__img_1_jpg=picture(), other_jpg=b"no picture"))
    assert "1 of 1 pictures are here" in page and HeldPicture.objects.count() == 1
    do(owner_client, take_in)
    photo = Photo.objects.get()
    assert photo.find.what == "Jar" and photo.original_name == "img_1.jpg"
    assert not HeldPicture.objects.exists()
    owner_client.post(f"{START}{take_in.pk}/undo/")
    assert not Photo.objects.exists() and not Specimen.objects.exists()


def test_pictures_come_from_a_folder_and_what_is_none_is_said(
    owner_client, db, data_folder, tmp_path: Path
) -> None:
    (tmp_path / "sub").mkdir()
    (tmp_path / "sub" / "IMG_1.JPG").write_bytes(b"not a picture")
    take_in = begun(owner_client)
    choose(owner_client, take_in)
    page = give(owner_client, take_in, folder=str(tmp_path))
    assert "0 of 1 pictures are here" in page and "is left out: This isn" in page
    (tmp_path / "sub" / "IMG_1.JPG").write_bytes(picture())
    assert "1 of 1 pictures are here" in give(owner_client, take_in, folder=str(tmp_path))
    (tmp_path / "IMG_1.jpg").write_bytes(picture())
    other = begun(owner_client)
    choose(owner_client, other)
    assert "two files have that name" in give(owner_client, other, folder=str(tmp_path))


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({}, "one of the two"),
        ({"folder": "relative/way"}, "no such folder"),
        ({"folder": "/nowhere/at/all"}, "no such folder"),
        ({"zip": SimpleUploadedFile("p.zip", b"PK\x03\x04 broken")}, "no zip"),
    ],
)
def test_no_pictures_for_a_reason(owner_client, db, said, why) -> None:
    take_in = begun(owner_client)
    choose(owner_client, take_in)
    assert why in give(owner_client, take_in, **said)


def test_what_was_begun_is_dropped_and_what_is_gone_says_so(owner_client, db) -> None:
    take_in = begun(owner_client)
    page = owner_client.post(f"{START}{take_in.pk}/drop/", follow=True).content.decode()
    assert "is forgotten" in page and not TakeIn.objects.exists()
    assert owner_client.get(f"{START}{take_in.pk}/rows/").status_code == 404
    assert owner_client.post(f"{START}{take_in.pk}/undo/").status_code == 404


def test_queries_do_not_grow_with_the_rows(owner_client, db, django_assert_max_num_queries) -> None:
    take_in = begun(owner_client, [["What", "Height"], *([f"Jar {n}", "24 cm"] for n in range(100))])
    choose(owner_client, take_in)
    with django_assert_max_num_queries(25):
        shown(owner_client, take_in)
    with django_assert_max_num_queries(20):
        owner_client.get(f"{START}{take_in.pk}/")


def test_an_xlsx_file_goes_the_same_way(owner_client, db) -> None:
    assert send(owner_client, xlsx_of(ROWS), "finds.xlsx").status_code == 302
    take_in = TakeIn.objects.get()
    choose(owner_client, take_in)
    do(owner_client, take_in)
    assert Specimen.objects.count() == 2
