"""The server: the order in which a catalogue opens, then pages are served until somebody ends it."""

import logging
import threading
import webbrowser
from importlib import import_module, util
from typing import Any

from django.conf import settings
from django.core.handlers.wsgi import WSGIHandler
from django.db import DatabaseError, connections
from django.urls import get_resolver
from waitress import wasyncore
from waitress.server import create_server

from catalogue import __version__
from catalogue.access import background, browsers, services, start_checks
from catalogue.access.models import OneTimeKey
from catalogue.access.startup import (
    StartRefused,
    channel,
    database,
    folder,
    identity,
    restore_swap,
    server_restore,
)
from catalogue.access.startup import log as log_file
from catalogue.access.startup.bootstrap import (
    StartContext,
    pause_garbage_collection,
    resume_garbage_collection,
)

THREADS = 8
# A form refuses too large a picture beside its field, but can only do so after it has arrived.
MAX_REQUEST_BYTES = 4 * 1024**3
JOIN_TIMEOUT_S = 5

log = logging.getLogger("siltmark.start")


def open_catalogue(start: StartContext) -> None:
    """Check, bring up to date, fill a demo, serve until asked to end.

    Raises StartRefused where it may not open, SystemExit(1) where something unforeseen stops it.
    """
    log_file.keep_in(start.folder)
    log.info("Siltmark %s opens", __version__)
    try:
        _open(start)
    except StartRefused:
        raise
    except (DatabaseError, OSError) as error:
        # A disk that fills or is pulled out just then: nothing that the program does wrong.
        log.warning("the catalogue could not open", exc_info=error)
        raise StartRefused(f"The catalogue can't be opened ({database.one_line(error)}).") from None
    except Exception as error:
        log.exception("The catalogue could not open: %s", database.one_line(error) or type(error).__name__)
        raise SystemExit(1) from None


def _open(start: StartContext) -> None:
    resume_garbage_collection()
    folder.keep_temporary_files(start.folder)
    path = database.file()
    if path:
        database.check_whole(path)
    elif kept := server_restore.swap_on_server(start.folder):
        start.warnings.append(restore_swap.told(kept))
    identity.check(start.folder, path, adopt=start.options.adopt)
    try:
        database.bring_up_to_date()
        identity.settle(start.folder)
        services.the_owner()
        if start.options.demo and (note := fill_demo()):
            start.warnings.append(note)
        start.warnings += start_checks.run()
        services.sweep_keys()
        browsers.know_all(services.the_owner())
        key = services.make_key(OneTimeKey.Opens.OWNER)
        if start.options.lan:
            start.warnings.append(network_line())
        serve(start, f"{start.address}enter/{key}/")
    finally:
        database.gather()


def fill_demo() -> str | None:
    """Fill a throw-away catalogue with invented finds; a sentence where this copy of the program has none."""
    if not (util.find_spec("demo_fixtures") and util.find_spec("demo_fixtures.load")):
        return "The invented finds of the demo are not part of this copy; it opens empty."
    print("The demo is filled with invented finds, which takes a moment.", flush=True)
    import_module("demo_fixtures.load").fill()
    return None


def network_line() -> str:
    """What to open on another machine of the network."""
    if not settings.LAN_ADDRESSES:
        return "This machine has no address on a network just now: connect it, then start again."
    places = " or ".join(f"http://{address}:{settings.PORT}/" for address in settings.LAN_ADDRESSES)
    return f"Others on this network can look at {places}; pair a phone under Settings."


def serve(start: StartContext, link: str) -> None:
    """Announce the link, then answer requests; returns when the program is asked to end."""
    # Every page's code is loaded now: what is amiss shows here, and the first page needn't wait for it.
    pause_garbage_collection()
    get_resolver().url_patterns  # noqa: B018  # to read it is to load it
    resume_garbage_collection()
    connected: dict[int, Any] = {}
    server = create_server(
        # Not get_wsgi_application(): it would set Django up again, and the log with it.
        WSGIHandler(),
        map=connected,
        sockets=[start.listener],
        threads=THREADS,
        max_request_body_size=MAX_REQUEST_BYTES,
        connection_limit=channel.CONNECTION_LIMIT,
        asyncore_use_poll=channel.USE_POLL,
        ident=None,
    )
    server.channel_class = channel.LimitedChannel
    stop = threading.Event()
    threads = background.start(stop)
    try:
        announce(start, link)
        server.run()
    finally:
        stop.set()
        for thread in threads:
            thread.join(JOIN_TIMEOUT_S)
        wasyncore.close_all(connected, ignore_all=True)
        connections.close_all()


def announce(start: StartContext, link: str) -> None:
    """Print the link, and open it unless that was not wanted."""
    for warning in start.warnings:
        print(warning, flush=True)
    print(f"Open this link, which lets you in once:\n\n    {link}\n", flush=True)
    print("Ctrl-C ends the catalogue." if not start.options.demo else "Ctrl-C ends the demo.", flush=True)
    if start.options.browser:
        # Some browsers keep this call waiting until they are closed.
        threading.Thread(target=webbrowser.open, args=(link,), daemon=True).start()
