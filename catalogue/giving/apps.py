from django.apps import AppConfig


class GivingConfig(AppConfig):
    name = "catalogue.giving"
    verbose_name = "Giving"

    def ready(self) -> None:
        from catalogue.people.services import person_erased

        from .request_rows import erase_with_person

        person_erased.connect(erase_with_person, dispatch_uid="requests of an erased person")
