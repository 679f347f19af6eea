"""Everything under /still-looking-for/."""

from django.urls import URLPattern, URLResolver, path

from . import views

app_name = "still_looking_for"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.still_looking_for, name="still_looking_for"),
    path("new/", views.wish, name="wish_new"),
    path("card/", views.card, name="card"),
    path("years/<str:slug>/", views.years, name="years"),
    path("<whole:pk>/", views.wish, name="wish"),
    path("<whole:pk>/struck-off/", views.strike, name="strike"),
    path("<whole:pk>/again/", views.again, name="again"),
]
