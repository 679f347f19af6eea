from django.apps import AppConfig


class CareConfig(AppConfig):
    name = "catalogue.care"
    verbose_name = "Care"

    def ready(self) -> None:
        from catalogue.access import start_checks
        from catalogue.specimens.derived.listening import listen
        from catalogue.specimens.models.held_back import hold_back_by

        from . import stored_flags
        from .acts import Act, gates_refusing
        from .unknown_hazards import look_at_stored_keys

        stored_flags.follow()
        listen()
        hold_back_by(showing=gates_refusing(Act.SHARE), giving=gates_refusing(Act.FREE))
        start_checks.register(stored_flags.work_out_missing)
        start_checks.register(look_at_stored_keys)
