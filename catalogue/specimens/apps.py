from django.apps import AppConfig


class SpecimensConfig(AppConfig):
    name = "catalogue.specimens"
    verbose_name = "Finds"
