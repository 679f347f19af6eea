from django.apps import AppConfig


class DeskConfig(AppConfig):
    name = "catalogue.desk"
    verbose_name = "Desk"
