"""PostgreSQL whose owner may not make the extension of trigrams: the same answers, from LIKE alone."""

import json
import os
import secrets
import subprocess
import sys
import urllib.parse
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from tests.running import PATIENCE_S, ROOT
from tests.server_of_ones_own import server_url


def searched(folder: Path, url: str) -> dict[str, Any]:
    folder.mkdir()
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("SILTMARK", "COV_"))}
    done = subprocess.run(
        [sys.executable, "-m", "tests.specimens.search.searched_on"],
        cwd=ROOT,
        env=kept | {"SILTMARK_DATA": str(folder), "DATABASE_URL": url},
        capture_output=True,
        text=True,
        timeout=PATIENCE_S,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    answer: dict[str, Any] = json.loads(done.stdout)
    return answer


def test_where_the_extension_may_not_be_made_the_answers_are_the_same(tmp_path):
    with server_url() as whole:
        with_them = searched(tmp_path / "with", whole)
    with server_url() as bare, role_without_extensions(bare) as url:
        without = searched(tmp_path / "without", url)
    assert (with_them["trigrams"], without["trigrams"]) == (True, False)
    assert without["found"] == with_them["found"]
    assert len(with_them["found"]["ottle"]) == 3
    assert with_them["agrees"] and without["agrees"]


@contextmanager
def role_without_extensions(url: str) -> Iterator[str]:
    """The address for a user who may make tables in the database and nothing that is the database's own."""
    import psycopg

    name, parts = f"small_{secrets.token_hex(4)}", urllib.parse.urlsplit(url)
    with psycopg.connect(url, autocommit=True) as link:
        link.execute(f"CREATE ROLE {name} LOGIN")
        link.execute(f"GRANT ALL ON SCHEMA public TO {name}")
        try:
            host = parts.netloc.rsplit("@", 1)[1]
            yield urllib.parse.urlunsplit(parts._replace(netloc=f"{name}@{host}"))
        finally:
            link.execute(f"DROP OWNED BY {name} CASCADE")
            link.execute(f"DROP ROLE {name}")
