"""Everything under /makers/; the fixed words come before the names of makers."""

from django.urls import URLPattern, URLResolver, path

from . import merging, read
from . import views as makers
from .files import views as maker_files
from .form import views as maker_form

app_name = "makers"
urlpatterns: list[URLPattern | URLResolver] = [
    path("read/", read.read_mark, name="read_mark"),
    path("", makers.makers, name="makers"),
    path("new/", maker_form.maker_new, name="maker_new"),
    path("live/", maker_form.maker_live, name="maker_live"),
    path("file/", maker_files.maker_file_in, name="maker_file_in"),
    path("<str:slug>/file/", maker_files.maker_file_out, name="maker_file_out"),
    path("<str:slug>/", makers.maker, name="maker"),
    path("<str:slug>/notes/", makers.maker_notes, name="maker_notes"),
    path("<str:slug>/edit/", maker_form.maker_edit, name="maker_edit"),
    path("<str:slug>/bin/", maker_form.maker_bin, name="maker_bin"),
    path("<str:slug>/merge/", merging.merge, name="maker_merge"),
    path("apart/<whole:one>/<whole:other>/", merging.apart, name="merge_apart"),
    path("merges/<whole:pk>/undo/", merging.undo, name="merge_undo"),
    path("<str:slug>/back/", maker_form.maker_back, name="maker_back"),
]
