"""One find with pictures of its base under eight lamps, made once for each module."""

import pytest

from catalogue.photos.plates.surfaces import forget
from tests.conftest import laid_out

from .plates_parts import Lit, lit_find


@pytest.fixture(scope="module")
def made(module_pictures):
    return module_pictures(lit_find)


@pytest.fixture
def lit(made, data_folder, db) -> Lit:
    forget()
    return laid_out(made, data_folder)
