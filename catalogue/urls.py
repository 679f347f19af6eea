"""Addresses of the whole catalogue: the pages, and Django's own administration where it is on."""

from django.contrib import admin
from django.urls import include, path, register_converter

from catalogue.pages.converters import FindNumber, WholeNumber

register_converter(FindNumber, "number")
register_converter(WholeNumber, "whole")

urlpatterns = [
    path("", include("catalogue.pages.urls")),
    path("admin/", admin.site.urls),
]

handler400 = "catalogue.pages.errors.bad_request"
handler403 = "catalogue.pages.errors.not_allowed"
handler404 = "catalogue.pages.errors.not_found"
handler500 = "catalogue.pages.errors.server_error"
