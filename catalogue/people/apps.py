from django.apps import AppConfig


class PeopleConfig(AppConfig):
    name = "catalogue.people"
    verbose_name = "People"
