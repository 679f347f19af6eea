from django.apps import AppConfig


class LabelsConfig(AppConfig):
    name = "catalogue.labels"
    verbose_name = "Labels"
