from django.apps import AppConfig


class PagesConfig(AppConfig):
    name = "catalogue.pages"
    verbose_name = "Pages"
