"""The app of start-up, keys and sign-ins; it looks after the rights of the data folder in the background."""

from django.apps import AppConfig


class AccessConfig(AppConfig):
    name = "catalogue.access"
    verbose_name = "Who may see what"

    def ready(self) -> None:
        from simple_history.signals import pre_create_historical_record

        from catalogue.access import background
        from catalogue.access.middleware import known_sessions
        from catalogue.access.startup.folder import close_data_folder
        from catalogue.common.history_entries import note_hand

        background.register(close_data_folder)
        known_sessions.connect()
        pre_create_historical_record.connect(note_hand, dispatch_uid="which browser wrote")
