"""A PostgreSQL server for the tests that cross from one engine to the other, made for them and thrown away.

Where DATABASE_URL names one, a database of its own on that; else a cluster in a temporary folder, on loopback
alone, by the programs of the machine; else the tests are skipped.
"""

import contextlib
import os
import secrets
import shutil
import subprocess
import tempfile
import urllib.parse
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from tests.running import free_port

# The server refuses to run as root; Debian's package makes this user.
USER = "postgres"


def programs() -> Path | None:
    """The folder of the server's programs, the newest version's; None where there is none."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda path: int(path.parts[4]))
    named = shutil.which("initdb")
    return found[-1].parent if found else Path(named).resolve().parent if named else None


@contextmanager
def server_url() -> Iterator[str]:
    """The address of an empty database, as DATABASE_URL names one. Skips where there is no server."""
    pytest.importorskip("psycopg")
    named = os.environ.get("DATABASE_URL", "")
    if named.startswith("postgres"):
        with _database_on(named) as url:
            yield url
    elif where := programs():
        with _cluster(where) as named, _database_on(named) as url:
            yield url
    else:
        pytest.skip("no PostgreSQL: install postgresql, or name a server by DATABASE_URL")


@contextmanager
def _database_on(url: str) -> Iterator[str]:
    import psycopg

    name = f"siltmark_{secrets.token_hex(4)}"
    with contextlib.closing(psycopg.connect(url, autocommit=True)) as link:
        link.execute(f"CREATE DATABASE {name}")
        try:
            yield urllib.parse.urlunsplit(urllib.parse.urlsplit(url)._replace(path=f"/{name}"))
        finally:
            link.execute(f"DROP DATABASE {name} WITH (FORCE)")


@contextmanager
def _cluster(where: Path) -> Iterator[str]:
    as_user: dict[str, Any] = {"user": USER} if hasattr(os, "geteuid") and os.geteuid() == 0 else {}
    with tempfile.TemporaryDirectory(prefix="pg-", ignore_cleanup_errors=True) as room:
        if as_user:
            shutil.chown(room, USER)
        data, port = f"{room}/data", free_port()

        def run(*words: str) -> None:
            done = subprocess.run(
                [str(where / words[0]), *words[1:]],
                cwd=room,
                capture_output=True,
                text=True,
                timeout=120,
                **as_user,
            )
            if done.returncode:
                pytest.skip(f"no PostgreSQL: {words[0]} said {done.stderr.strip()[:300]}")

        options = f"-c listen_addresses=127.0.0.1 -c port={port} -c unix_socket_directories= -c fsync=off"
        run("initdb", "-D", data, "-U", USER, "--auth=trust", "-E", "UTF8", "--locale=C", "--no-sync")
        run("pg_ctl", "-D", data, "-l", f"{room}/log", "-o", options, "-w", "start")
        try:
            yield f"postgres://{USER}@127.0.0.1:{port}/{USER}"
        finally:
            run("pg_ctl", "-D", data, "-m", "immediate", "-w", "stop")
