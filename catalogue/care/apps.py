from django.apps import AppConfig


class CareConfig(AppConfig):
    name = "catalogue.care"
    verbose_name = "Care"

    def ready(self) -> None:
        from catalogue.access import start_checks

        from .unknown_hazards import look_at_stored_keys

        start_checks.register(look_at_stored_keys)
