"""The app of start-up, keys and sign-ins; it looks after the rights of the data folder in the background."""

from django.apps import AppConfig


class AccessConfig(AppConfig):
    name = "catalogue.access"
    verbose_name = "Who may see what"

    def ready(self) -> None:
        from catalogue.access import background, known_sessions
        from catalogue.access.startup.folder import close_data_folder

        background.register(close_data_folder)
        known_sessions.connect()
