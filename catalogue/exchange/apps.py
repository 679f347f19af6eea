from django.apps import AppConfig


class ExchangeConfig(AppConfig):
    name = "catalogue.exchange"
    verbose_name = "Safekeeping"

    def ready(self) -> None:
        from catalogue.access import background
        from catalogue.exchange.backup.daily import keep_daily
        from catalogue.exchange.backup.sent import keep_sweeping

        background.register(keep_daily)
        background.register(keep_sweeping)
