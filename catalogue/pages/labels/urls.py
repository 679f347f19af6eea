"""Everything under /labels/."""

from django.urls import URLPattern, URLResolver, path

from . import own_sheets, printing, views

app_name = "labels"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", printing.labels, name="labels"),
    path("sheets/", own_sheets.own_sheets, name="own_sheets"),
    path("sheets/new/", own_sheets.own_sheet, name="own_sheet_new"),
    path("sheets/<whole:pk>/", own_sheets.own_sheet, name="own_sheet"),
    path("tags/", views.tags, name="tags"),
    path("tags/<whole:pk>/", views.tag_run, name="tag_run"),
    path("slip/<number:number>/", views.slip_pdf, name="slip"),
]
