from django.apps import AppConfig
from django.db.models.signals import post_migrate


class SpecimensConfig(AppConfig):
    name = "catalogue.specimens"
    verbose_name = "Finds"

    def ready(self) -> None:
        from catalogue.access import background, start_checks

        from . import clock
        from .derived.redating import worker
        from .derived.refresh import listen
        from .reference_makers import bring_in_reference_makers

        post_migrate.connect(bring_in_reference_makers, sender=self, dispatch_uid="reference makers")
        listen()
        start_checks.register(clock.check)
        background.register(worker.run)
