from catalogue.access.views.enter import enter, enter_by_key, leave
from catalogue.access.views.phones import phones
from catalogue.access.views.settings import set_password, settings_page, sign_out

__all__ = ["enter", "enter_by_key", "leave", "phones", "set_password", "settings_page", "sign_out"]
