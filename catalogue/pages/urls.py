"""Every address a browser may ask for: `/x/…` is `catalogue/pages/x/`."""

from django.urls import URLPattern, URLResolver, include, path, re_path

from .finds.detail.views import short
from .giving.views import old_address
from .labels.own_sheets import place_short

ROOMS = (
    "finds",
    "towns",
    "bottlers",
    "products",
    "makers",
    "reference",
    "date",
    "dives",
    "shelves",
    "photos",
    "workbench",
    "giving",
    "exhibit",
    "labels",
    "safekeeping",
    "people",
    "settings",
    "bin",
    "still-looking-for",
    "search",
    "api",
    "history",
)
urlpatterns: list[URLPattern | URLResolver] = [
    path("", include("catalogue.pages.home.urls")),
    path("", include("catalogue.pages.access.urls")),
    # The short address that a label's code holds.
    path("f/<number:number>", short, name="short"),
    # Likewise the code of a place's own label.
    path("p/<whole:pk>/", place_short, name="place_short"),
    # The room's address until November 2026; printed pages and bookmarks still hold it.
    re_path(r"^giveaways/(?P<rest>.*)$", old_address),
    *(path(f"{room}/", include(f"catalogue.pages.{room.replace('-', '_')}.urls")) for room in ROOMS),
]
