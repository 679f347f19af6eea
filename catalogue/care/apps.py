from django.apps import AppConfig


class CareConfig(AppConfig):
    name = "catalogue.care"
    verbose_name = "Care"

    def ready(self) -> None:
        from catalogue.access import start_checks
        from catalogue.specimens.derived.refresh import listen

        from . import stored_flags
        from .unknown_hazards import look_at_stored_keys

        stored_flags.follow()
        listen()
        start_checks.register(stored_flags.work_out_missing)
        start_checks.register(look_at_stored_keys)
