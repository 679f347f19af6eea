"""Everything under /settings/."""

from django.urls import URLPattern, URLResolver, path

from . import access, phones, views

app_name = "settings"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", access.settings_page, name="settings"),
    path("password/", access.set_password, name="set_password"),
    path("phones/", phones.phones, name="phones"),
    path("browsers/<slug:name>/sign-out/", access.sign_out, name="sign_out"),
    path("house/", views.house, name="house"),
]
