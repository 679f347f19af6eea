"""Everything under /giving/."""

from django.urls import URLPattern, URLResolver, path

from . import acts, views

app_name = "giving"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.giving, name="giving"),
    path("<number:number>/standing/", acts.standing, name="standing"),
    path("<number:number>/promise/", acts.promise, name="promise"),
    path("<number:number>/withdraw/", acts.withdraw, name="withdraw"),
    path("<number:number>/hand-over/", acts.hand_over, name="hand_over"),
    path("<number:number>/came-back/", acts.came_back, name="came_back"),
]
