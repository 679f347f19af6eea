from django.apps import AppConfig


class ExchangeConfig(AppConfig):
    name = "catalogue.exchange"
    verbose_name = "Safekeeping"
