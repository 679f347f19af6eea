"""Addresses of the whole catalogue: the pages, and Django's own administration."""

from django.contrib import admin
from django.urls import include, path, register_converter

from catalogue.common.converters import FindNumber

register_converter(FindNumber, "number")

urlpatterns = [
    path("", include("catalogue.pages.urls")),
    path("admin/", admin.site.urls),
]

handler400 = "catalogue.access.errors.bad_request"
handler403 = "catalogue.access.errors.not_allowed"
handler404 = "catalogue.access.errors.not_found"
handler500 = "catalogue.access.errors.server_error"
