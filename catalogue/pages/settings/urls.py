"""Everything under /settings/."""

from django.urls import URLPattern, URLResolver, path

from catalogue.pages.settings import views

app_name = "settings"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.settings_page, name="settings"),
    path("password/", views.set_password, name="set_password"),
    path("phones/", views.phones, name="phones"),
    path("browsers/<slug:name>/sign-out/", views.sign_out, name="sign_out"),
    path("house/", views.house, name="house"),
]
