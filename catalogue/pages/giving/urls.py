"""Everything under /giving/."""

from django.urls import URLPattern, URLResolver, path

from catalogue.pages.giving import views

app_name = "giving"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.giving, name="giving"),
    path("<number:number>/standing/", views.standing, name="standing"),
    path("<number:number>/standing/undo/<whole:entry>/", views.undo_standing, name="standing_undo"),
    path("<number:number>/promise/", views.promise, name="promise"),
    path("<number:number>/promise/undo/<whole:key>/", views.undo_promise, name="promise_undo"),
    path("<number:number>/hand-over/undo/<whole:key>/", views.undo_hand_over, name="hand_over_undo"),
    path("<number:number>/withdraw/", views.withdraw, name="withdraw"),
    path("<number:number>/withdraw/undo/<whole:key>/", views.undo_withdraw, name="withdraw_undo"),
    path("<number:number>/came-back/undo/<whole:key>/", views.undo_came_back, name="came_back_undo"),
    path("<number:number>/hand-over/", views.hand_over, name="hand_over"),
    path("<number:number>/came-back/", views.came_back, name="came_back"),
]
