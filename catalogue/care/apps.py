from django.apps import AppConfig


class CareConfig(AppConfig):
    name = "catalogue.care"
    verbose_name = "Care"
