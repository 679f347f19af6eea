from django.apps import AppConfig


class ShelvesConfig(AppConfig):
    name = "catalogue.shelves"
    verbose_name = "Shelves"
