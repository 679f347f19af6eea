"""The order in which a catalogue opens."""

import logging

from django.conf import settings

from catalogue.access import services
from catalogue.access.models import OneTimeKey
from catalogue.access.startup import database, demo, hooks, incoming, loading, logs, serving
from catalogue.access.startup.ground import Ground
from catalogue.access.startup.refusal import Refused

log = logging.getLogger("siltmark.start")


def open_catalogue(ground: Ground) -> None:
    """Check, bring up to date, fill a demo, serve until asked to end.

    Raises Refused where it may not open, SystemExit(1) where something unforeseen stops it.
    """
    logs.keep_in(ground.folder)
    try:
        _open(ground)
    except Refused:
        raise
    except Exception as error:
        log.exception("The catalogue could not open: %s", database.one_line(error) or type(error).__name__)
        raise SystemExit(1) from None


def _open(ground: Ground) -> None:
    loading.end()
    incoming.use(ground.folder)
    path = database.file()
    if path:
        database.check_whole(path)
    try:
        database.bring_up_to_date()
        services.the_owner()
        if ground.options.demo and (note := demo.fill()):
            ground.warnings.append(note)
        for failed in hooks.run_steps():
            ground.warnings.append(f"Something at the start went wrong ({failed}); more in {logs.NAME}.")
        services.sweep_keys()
        key = services.make_key(OneTimeKey.Opens.OWNER)
        if ground.options.lan:
            ground.warnings.append(network_line())
        serving.serve(ground, f"{ground.address}enter/{key}/")
    finally:
        database.gather()


def network_line() -> str:
    """What to open on another machine of the network."""
    if not settings.LAN_ADDRESSES:
        return "This machine has no address on a network just now: connect it, then start again."
    places = " or ".join(f"http://{address}:{settings.PORT}/" for address in settings.LAN_ADDRESSES)
    return f"Others on this network can look at {places}; pair a phone under Settings."
