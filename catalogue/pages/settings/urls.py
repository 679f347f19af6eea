"""Everything under /settings/."""

from django.urls import URLPattern, URLResolver, path

from catalogue.pages.settings import api_keys, town_lists, views

app_name = "settings"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.settings_page, name="settings"),
    path("password/", views.set_password, name="set_password"),
    path("phones/", views.phones, name="phones"),
    path("browsers/<slug:name>/sign-out/", views.sign_out, name="sign_out"),
    path("house/", views.house, name="house"),
    path("towns/", town_lists.town_lists, name="town_lists"),
    path("towns/<str:country>/delete/", town_lists.town_list_delete, name="town_list_delete"),
    path("towns/<str:country>/restore/", town_lists.town_list_restore, name="town_list_restore"),
    path("keys/", api_keys.api_keys, name="api_keys"),
    path("keys/<whole:pk>/end/", api_keys.api_key_end, name="api_key_end"),
    path("keyboard/", views.keyboard, name="keyboard"),
]
