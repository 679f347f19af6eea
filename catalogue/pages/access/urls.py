"""The way in and out: /enter/ and /leave/."""

from django.urls import URLPattern, URLResolver, path

from . import views

app_name = "access"
urlpatterns: list[URLPattern | URLResolver] = [
    path("enter/", views.enter, name="enter"),
    path("enter/standing/", views.standing, name="standing"),
    path("enter/<str:key>/", views.enter_by_key, name="enter"),
    path("leave/", views.leave, name="leave"),
    # Django's own sign-in page has no limit on wrong passwords: ours takes its place.
    path("admin/login/", views.enter),
]
