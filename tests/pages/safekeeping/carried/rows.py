"""A small catalogue to make pages of, and the pages read back."""

import re
from pathlib import Path

from catalogue.exchange.public_pages.target import PAGES_LIST
from catalogue.photos.models import Photo
from catalogue.photos.services import take_in
from catalogue.specimens.models import Inscription, Specimen
from catalogue.specimens.services import Parts
from tests import factories as make
from tests.photos.drawn import jpeg


def small_catalogue() -> None:
    """Three pieces shown, one of them free, one promised; one private. Each has a picture."""
    maker = make.brackwater()
    marrowby, ellarn = make.town(), make.town("Port Ellarn")
    read = Parts(
        readings=[make.reading("BW", frame="none", symbol="wave", right="3")],
        inscriptions=[Inscription(where="body", text="QUILL & SONS", says="bottler")],
    )
    free = make.find(
        "Aqua soda bottle", read, town=marrowby, standing="free", kind="soda", story="It lay in ooze."
    )
    shared = make.find("Ink cone", town=ellarn, shared=True, kind="ink")
    promised = make.find("Flask of Grönholm", shared=True, standing="promised")
    private = make.find("Quorrel jar", town=marrowby)
    for n, find in enumerate((free, shared, promised, private)):
        take_in(jpeg(tint=n * 10, width=500, height=700), subject=find, role=Photo.Role.AFTER)
    take_in(jpeg(tint=77, width=500, height=700), subject=free, role=Photo.Role.BEFORE)
    assert maker and Specimen.objects.for_visitors().count() == 3


def read_back(folder: Path) -> dict[str, bytes]:
    """Every file by its name."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def asked_at_once(name: str, found: dict[str, bytes]) -> set[str]:
    """The files that a page asks for when it is opened, itself among them."""
    asked = {name}
    for link in re.findall(r'(?:src|<link[^>]* href)="([^"#]+)"', found[name].decode()):
        asked.add(resolved(name, link))
    for sheet in [each for each in asked if each.endswith(".css")]:
        asked |= {resolved(sheet, url) for url in re.findall(r'url\("([^"]+)"\)', found[sheet].decode())}
    return asked


def weight(name: str, found: dict[str, bytes]) -> int:
    """Bytes of a page with all that it asks for when it is opened."""
    return sum(len(found[each]) for each in asked_at_once(name, found))


def resolved(page: str, link: str) -> str:
    """Where a relative link of a page leads, from the folder's top."""
    parts = page.split("/")[:-1]
    for step in link.split("#")[0].split("/"):
        if step == "..":
            parts.pop()
        elif step not in ("", "."):
            parts.append(step)
    return "/".join(parts)


def pages_of(found: dict[str, bytes]) -> list[str]:
    """The pages among the files."""
    assert PAGES_LIST in found
    return [name for name in found if name.endswith(".html")]
