"""What every app of the catalogue stands on."""

from django.apps import AppConfig


class CommonConfig(AppConfig):
    name = "catalogue.common"
    label = "common"
    verbose_name = "Common ground"
