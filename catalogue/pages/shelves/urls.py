"""Everything under /shelves/."""

from django.urls import URLPattern, URLResolver, path

from . import arranging, upkeep, views
from .check import pictures, result, walking

app_name = "shelves"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.shelves, name="shelves"),
    path("new/", views.place_form, name="place_new"),
    path("put/", views.put_one, name="put_one"),
    path("<whole:pk>/", views.place, name="place"),
    path("<whole:pk>/edit/", views.place_form, name="place_edit"),
    path("<whole:pk>/put/", views.put_here, name="place_put"),
    path("<whole:pk>/step/<whole:beside>/", arranging.step, name="step"),
    path("<whole:pk>/stand/", arranging.stand, name="stand"),
    path(
        "<whole:pk>/stand/<whole:find>/<whole:before>/<slug:version>/",
        arranging.stand_again,
        name="stand_again",
    ),
    path("<whole:pk>/upkeep/", upkeep.done, name="upkeep"),
    path("<whole:pk>/upkeep/<whole:key>/undo/", upkeep.undo_done, name="upkeep_undo"),
    path("<whole:pk>/check/", walking.walk, name="check"),
    path("<whole:pk>/check/start/", walking.begin, name="check_begin"),
    path("<whole:pk>/check/numbers/", walking.numbers, name="check_numbers"),
    path("<whole:pk>/check/pictures/", pictures.pictures, name="check_pictures"),
    path("<whole:pk>/check/end/", walking.end, name="check_end"),
    path("<whole:pk>/check/<number:number>/", walking.tick, name="check_tick"),
    path("<whole:pk>/checks/<whole:check>/", result.result, name="check_result"),
    path("<whole:pk>/checks/<whole:check>/go-on/", result.go_on, name="check_go_on"),
    path("<whole:pk>/checks/<whole:check>/all/<whole:to>/", result.move_all, name="check_move_all"),
    path("<whole:pk>/checks/<whole:check>/<whole:row>/", result.act, name="check_act"),
]
