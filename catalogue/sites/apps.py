from django.apps import AppConfig


class SitesConfig(AppConfig):
    name = "catalogue.sites"
    verbose_name = "Sites and dives"
