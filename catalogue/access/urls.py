from django.urls import path

from catalogue.access import views

app_name = "access"
urlpatterns = [
    path("enter/", views.enter, name="enter"),
    path("enter/<str:key>/", views.enter_by_key, name="enter"),
    path("leave/", views.leave, name="leave"),
    # Django's own sign-in page has no limit on wrong passwords: ours takes its place.
    path("admin/login/", views.enter),
    path("settings/", views.settings_page, name="settings"),
    path("settings/password/", views.set_password, name="set_password"),
    path("settings/phones/", views.phones, name="phones"),
    path("settings/browsers/<slug:name>/sign-out/", views.sign_out, name="sign_out"),
]
