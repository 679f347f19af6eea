"""Addresses of the lists and of what they lead to."""

from django.urls import path

from . import finds, reference, town, towns
from .maker_files import views as maker_files
from .maker_form import views as maker_form
from .makers import views as makers

urlpatterns = [
    path("finds/", finds.finds, name="finds"),
    path("towns/", towns.towns, name="towns"),
    path("towns/bottlers/<str:slug>/", towns.bottler_edit, name="bottler_edit"),
    path("towns/<str:slug>/", town.town, name="town"),
    path("towns/<str:slug>/notes/", town.town_notes, name="town_notes"),
    path("towns/<str:slug>/edit/", towns.town_edit, name="town_edit"),
    path("makers/", makers.makers, name="makers"),
    path("makers/new/", maker_form.maker_new, name="maker_new"),
    path("makers/live/", maker_form.maker_live, name="maker_live"),
    path("makers/file/", maker_files.maker_file_in, name="maker_file_in"),
    path("makers/<str:slug>/file/", maker_files.maker_file_out, name="maker_file_out"),
    path("makers/<str:slug>/", makers.maker, name="maker"),
    path("makers/<str:slug>/notes/", makers.maker_notes, name="maker_notes"),
    path("makers/<str:slug>/edit/", maker_form.maker_edit, name="maker_edit"),
    path("makers/<str:slug>/bin/", maker_form.maker_bin, name="maker_bin"),
    path("makers/<str:slug>/back/", maker_form.maker_back, name="maker_back"),
    path("reference/", reference.reference, name="reference"),
]
