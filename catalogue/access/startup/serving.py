"""Serve the pages until somebody ends it."""

import threading
import webbrowser

from django.core.handlers.wsgi import WSGIHandler
from django.db import connections
from django.urls import get_resolver
from waitress import wasyncore
from waitress.server import create_server

from catalogue.access.startup import hooks, loading
from catalogue.access.startup.ground import Ground

THREADS = 8
# A form refuses too large a picture beside its field, but can only do so after it has arrived.
MOST_BYTES = 4 * 1024**3
PATIENCE_S = 5


def serve(ground: Ground, link: str) -> None:
    """Announce the link, then answer requests; returns when the program is asked to end."""
    # Every room is loaded now: what is amiss shows here, and the first page needn't wait for it.
    loading.begin()
    get_resolver().url_patterns  # noqa: B018
    loading.end()
    connected: dict = {}
    server = create_server(
        # Not get_wsgi_application(): it would set Django up again, and the log with it.
        WSGIHandler(),
        map=connected,
        sockets=[ground.listener],
        threads=THREADS,
        max_request_body_size=MOST_BYTES,
        ident=None,
    )
    stop = threading.Event()
    works = hooks.start_works(stop)
    try:
        announce(ground, link)
        server.run()
    finally:
        stop.set()
        for work in works:
            work.join(PATIENCE_S)
        wasyncore.close_all(connected, ignore_all=True)
        connections.close_all()


def announce(ground: Ground, link: str) -> None:
    """Print the link, and open it unless that was not wanted."""
    for warning in ground.warnings:
        print(warning, flush=True)
    print(f"Open this link, which lets you in once:\n\n    {link}\n", flush=True)
    print("Ctrl-C ends the catalogue." if not ground.options.demo else "Ctrl-C ends the demo.", flush=True)
    if ground.options.browser:
        # Some browsers keep this call waiting until they are closed.
        threading.Thread(target=webbrowser.open, args=(link,), daemon=True).start()
