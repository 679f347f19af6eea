"""The examples of the page, each run as it is written there, one after the other, against a server."""

import contextlib
import html
import io
import re
import shlex
import subprocess
from urllib.request import Request, urlopen

import pytest
from django.urls import reverse

from catalogue.access.api_keys import make_api_key
from catalogue.photos.services import take_in
from tests import factories as make
from tests.photos.drawn import jpeg

EXAMPLE = re.compile(r'<code data-example="(\w+)">(.*?)</code></pre>', re.DOTALL)


def examples_of(page: str) -> list[tuple[str, str]]:
    return [(kind, html.unescape(text)) for kind, text in EXAMPLE.findall(page)]


@pytest.mark.django_db(transaction=True)
def test_every_example_runs_as_it_is_written(
    live_server, owner_client, settings, monkeypatch, tmp_path, data_folder
):
    settings.PORT = int(live_server.url.rpartition(":")[2])
    settings.ALLOWED_HOSTS = ["*"]
    find = make.find("Soda bottle", colour="aqua", height_mm=201)
    type(find).objects.filter(pk=find.pk).update(made_first=1890, made_last=1910)
    picture = take_in(jpeg(width=300, height=200), subject=find)
    make.town("Marrowby")
    key = make_api_key("Examples", "whole")
    monkeypatch.setenv("SILTMARK_KEY", key)
    monkeypatch.chdir(tmp_path)
    examples = examples_of(owner_client.get(reverse("api:documentation")).content.decode())
    assert [kind for kind, _ in examples] == ["curl", *["python"] * 5]
    # As one program: what an example defines, those after it use.
    program: dict[str, object] = {}
    said = []
    for kind, text in examples:
        out = io.StringIO()
        if kind == "curl":
            out.write(by_curl(text, key))
        else:
            with contextlib.redirect_stdout(out):
                exec(compile(text, "example", "exec"), program)
        said.append(out.getvalue())
    assert '"sees": "whole"' in said[0]
    assert "finds /api/v1/finds/" in said[1] and "products /api/v1/products/" in said[1]
    assert said[2].startswith(f"{find.number} Soda bottle")
    assert (tmp_path / f"{picture.pk}.jpg").read_bytes()[:2] == b"\xff\xd8"
    assert said[4] == "nothing new\n"
    assert said[5].startswith("400 Nothing here is called 'color'")


def by_curl(line: str, key: str) -> str:
    """What curl prints; where this machine has none, its header and address asked in its place."""
    words = shlex.split(line.replace("$SILTMARK_KEY", key))
    with contextlib.suppress(FileNotFoundError):
        return subprocess.run([*words, "--silent"], check=True, capture_output=True, text=True).stdout
    assert words[:2] == ["curl", "-H"]
    name, _, value = words[2].partition(": ")
    with urlopen(Request(words[3], headers={name: value})) as answer:
        return answer.read().decode()
