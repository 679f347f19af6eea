from django.apps import AppConfig


class GivingConfig(AppConfig):
    name = "catalogue.giving"
    verbose_name = "Giving"
