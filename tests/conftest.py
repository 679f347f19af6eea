"""Who is looking, and where files go."""

import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from copy import deepcopy
from pathlib import Path
from typing import TypeVar

import pytest
from django.db import connections, transaction
from django.template import Context, RequestContext, Template
from django.test import Client, TransactionTestCase, override_settings
from django.test.utils import instrumented_test_render
from django.utils.safestring import SafeString

from tests.blanks_in_order import orders_judged

Made = TypeVar("Made")

HERE = Path(__file__).resolve().parent
# What takes longest begins first, so that the workers end together: each takes over half of what another has
# left when it has nothing to do itself, and one long test at the end would leave the other idle.
LONG = ("browser", "packaging", "access/test_new_database.py", "startup", "demo", "house")


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Long ones first, otherwise as they are: pytest-django has put those that empty the database last."""

    def rank(item: pytest.Item) -> int:
        place = item.path.relative_to(HERE).as_posix()
        return next((n for n, each in enumerate(LONG) if place.startswith(each)), len(LONG))

    items.sort(key=rank)


@pytest.fixture(scope="session")
def django_db_modify_db_settings(tmp_path_factory, django_db_modify_db_settings_parallel_suffix) -> None:
    """A real file where the store is SQLite: two writers at once behave as they do at home.

    On a server each worker of the test run has a database of its own, by a suffix of its name.
    """
    store = connections["default"].settings_dict
    if store["ENGINE"].endswith("sqlite3"):
        store["TEST"]["NAME"] = str(tmp_path_factory.mktemp("store") / "catalogue.sqlite3")


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup, django_db_blocker) -> Iterator[None]:
    """A test that commits leaves a database to be put back: by a copy of its first state where it is a file.

    Django empties every table and has the published rows brought in again, which takes a second of the
    processor after each such test; the copy takes a hundredth.
    """
    empty_all = TransactionTestCase._fixture_teardown
    first_state = sqlite3.connect(":memory:", check_same_thread=False)

    def put_back(case: TransactionTestCase) -> None:
        store = connections["default"]
        if store.vendor != "sqlite":
            empty_all(case)
            return
        # What the test left open is rolled back; nobody else writes while a copy comes in.
        store.close()
        store.ensure_connection()
        first_state.backup(store.connection, progress=_give_up_when_held)

    with django_db_blocker.unblock(), closing(first_state), pytest.MonkeyPatch.context() as patch:
        if (store := connections["default"]).vendor == "sqlite":
            store.ensure_connection()
            store.connection.backup(first_state)
        patch.setattr(TransactionTestCase, "_fixture_teardown", put_back)
        with django_db_blocker.block():
            yield


def _give_up_when_held(status: int, _remaining: int, _pages: int) -> None:
    """A connection that a test left open holds the file for longer than all else waits: that test is told."""
    if status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        raise RuntimeError("A connection that this test opened still holds the database.")


@pytest.fixture(scope="session", autouse=True)
def one_order_on_both_engines() -> Iterator[None]:
    """Every query of every test is judged: none may stand in one order on SQLite, in another on a server."""
    with orders_judged():
        yield


@pytest.fixture(scope="session", autouse=True)
def static_files_found_once() -> Iterator[None]:
    """Each test's client sets up all middleware anew, a fifth of its time for the same list of files."""
    from django.conf import settings
    from whitenoise.middleware import WhiteNoiseMiddleware

    search, found = WhiteNoiseMiddleware.add_files_from_finders, {}

    def search_once(self: WhiteNoiseMiddleware) -> None:
        where = (settings.STATIC_URL, str(settings.STATICFILES_DIRS), self.max_age)
        if where not in found:
            search(self)
            found[where] = dict(self.files)
        self.files.update(found[where])

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(WhiteNoiseMiddleware, "add_files_from_finders", search_once)
        yield


@pytest.fixture(scope="session", autouse=True)
def context_of_pages_alone(django_test_environment: None) -> Iterator[None]:
    """Django's test client copies the context of every template that is rendered, each widget too.

    A page has hundreds, a seventh of its time, and tests look at what its view said: only that is copied.
    """

    def render_page(self: Template, context: Context) -> SafeString:
        # The context stays bound to the template that the view named while others are rendered within it.
        if context.template is self and isinstance(context, RequestContext):
            return instrumented_test_render(self, context)
        return self.nodelist.render(context)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Template, "_render", render_page)
        yield


@pytest.fixture
def data_folder(settings, tmp_path: Path) -> Path:
    """A fresh folder for files of this test alone."""
    settings.DATA_DIR = tmp_path
    settings.MEDIA_ROOT = tmp_path / "files"
    return tmp_path


@pytest.fixture(scope="module")
def module_rows(django_db_setup, django_db_blocker) -> Iterator[Callable[[Callable[[], Made]], Made]]:
    """Rows made once for a module of tests; what each test changes is rolled back to them.

    Five dated pieces cost as much as three pages, and a module with forty tests would make them forty times:

        @pytest.fixture(scope="module")
        def made(module_rows):
            return module_rows(five_pieces)

        @pytest.fixture
        def shelf(made, db):
            return deepcopy(made)  # what a test changes in the objects is its own

    Not for modules with tests that empty the database (`transaction=True`).
    """

    def make(function: Callable[[], Made]) -> Made:
        with django_db_blocker.unblock():
            return function()

    with django_db_blocker.unblock():
        around = transaction.atomic()
        around.__enter__()
    yield make
    with django_db_blocker.unblock():
        transaction.set_rollback(True)
        around.__exit__(None, None, None)


@pytest.fixture(scope="module")
def module_pictures(module_rows, tmp_path_factory) -> Callable[[Callable[[], Made]], tuple[Made, Path]]:
    """The same for a function that takes in pictures: what it made, and the data folder they lie in.

    `laid_out` gives each test objects and files of its own.
    """
    folder = tmp_path_factory.mktemp("pictures")

    def make(function: Callable[[], Made]) -> tuple[Made, Path]:
        with override_settings(DATA_DIR=folder, MEDIA_ROOT=folder / "files"):
            return module_rows(function), folder

    return make


def laid_out(kept: tuple[Made, Path], data_folder: Path) -> Made:
    """A copy of what `module_pictures` made, with its files in this test's folder: a test may damage them."""
    shutil.copytree(kept[1], data_folder, dirs_exist_ok=True)
    return deepcopy(kept[0])


@pytest.fixture
def owner(db):
    """The one owner."""
    from catalogue.access.services import the_owner

    return the_owner()


@pytest.fixture
def administration(settings) -> None:
    """The administration pages, as `start --admin` shows them."""
    settings.ADMINISTRATION = True


@pytest.fixture
def owner_client(owner) -> Client:
    """The owner's browser."""
    client = Client()
    client.force_login(owner)
    return client
