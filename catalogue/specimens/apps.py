from django.apps import AppConfig
from django.db.models.signals import post_migrate


class SpecimensConfig(AppConfig):
    name = "catalogue.specimens"
    verbose_name = "Finds"

    def ready(self) -> None:
        from catalogue.access import background, start_checks

        from . import clock
        from .derived.entries import fill_missing, follow_entries
        from .derived.listening import listen
        from .derived.redating import worker
        from .derived.town_keys import follow_town_names
        from .reference_makers import bring_in_reference_makers
        from .search.index import make_after_migrating
        from .town_files.room import move_older_room

        post_migrate.connect(bring_in_reference_makers, sender=self, dispatch_uid="reference makers")
        # After the makers: their rows are there to be read.
        post_migrate.connect(make_after_migrating, sender=self, dispatch_uid="search index")
        listen()
        follow_entries()
        follow_town_names()
        start_checks.register(clock.check)
        start_checks.register(fill_missing)
        start_checks.register(move_older_room)
        background.register(worker.run)
