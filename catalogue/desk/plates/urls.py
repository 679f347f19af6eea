from django.urls import path

from . import images, measure_views, read_views, rim_views, shooting

urlpatterns = [
    path("finds/<number:number>/plates/", shooting.shoot, name="plates"),
    path("finds/<number:number>/plates/rim/", rim_views.rim, name="plates_rim"),
    path("finds/<number:number>/plates/ring/", rim_views.ring, name="plates_ring"),
    path("finds/<number:number>/plates/read/", read_views.read, name="plates_read"),
    path("finds/<number:number>/plates/compare/", read_views.compare, name="plates_compare"),
    path("finds/<number:number>/plates/save/", read_views.save, name="plates_save"),
    path("finds/<number:number>/plates/round.jpg", images.show_plate, {"shape": "round"}, name="plate_round"),
    path("finds/<number:number>/plates/strip.jpg", images.show_plate, {"shape": "strip"}, name="plate_strip"),
    path("finds/<number:number>/plates/relief.png", images.show_relief, name="plate_relief"),
    path("finds/<number:number>/measure/", measure_views.measure, name="measure"),
    path("finds/<number:number>/measure/write/", measure_views.write, name="measure_write"),
]
