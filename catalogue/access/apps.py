from django.apps import AppConfig


class AccessConfig(AppConfig):
    name = "catalogue.access"
    verbose_name = "Who may see what"
