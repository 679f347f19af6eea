"""Addresses of the whole catalogue; each app keeps its own list."""

from django.contrib import admin
from django.urls import include, path, register_converter

from catalogue.common.converters import FindNumber

register_converter(FindNumber, "number")

urlpatterns = [
    path("", include("catalogue.desk.urls")),
    path("", include("catalogue.access.urls")),
    path("people/", include("catalogue.people.urls")),
    path("shelves/", include("catalogue.shelves.urls")),
    path("dives/", include("catalogue.sites.urls")),
    path("", include("catalogue.specimens.urls")),
    path("photos/", include("catalogue.photos.urls")),
    path("workbench/", include("catalogue.care.urls")),
    path("giveaways/", include("catalogue.giving.urls")),
    path("labels/", include("catalogue.labels.urls")),
    path("safekeeping/", include("catalogue.exchange.urls")),
    path("admin/", admin.site.urls),
]

handler400 = "catalogue.access.errors.bad_request"
handler403 = "catalogue.access.errors.not_allowed"
handler404 = "catalogue.access.errors.not_found"
handler500 = "catalogue.access.errors.server_error"
