"""Everything under /giving/."""

from django.urls import URLPattern, URLResolver, path

from catalogue.pages.giving import answering, asking, departures, lapsing, views

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
    path("<number:number>/ask/", asking.ask, name="ask"),
    path(
        "<number:number>/requests/<whole:key>/promise/", answering.promise_to_asker, name="promise_to_asker"
    ),
    path("<number:number>/requests/<whole:key>/decline/", answering.decline, name="decline"),
    path("<number:number>/requests/<whole:key>/decline/undo/", answering.undo_decline, name="decline_undo"),
    path("<number:number>/requests/<whole:key>/erase/", answering.erase, name="request_erase"),
    path("<number:number>/gone/", departures.gone, name="gone"),
    path("<number:number>/gone/undo/<whole:key>/", departures.undo_gone, name="gone_undo"),
    path("<number:number>/promise/extend/<whole:key>/", lapsing.extend, name="extend"),
    path(
        "<number:number>/promise/extend/<whole:key>/undo/<whole:ordinal>/",
        lapsing.undo_extend,
        name="extend_undo",
    ),
]
