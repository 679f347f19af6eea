"""Everything under /dives/: dives, their camera cards, and sites."""

from django.urls import URLPattern, URLResolver, path

from . import dives, sites
from .card import views as card

app_name = "dives"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", dives.dives, name="dives"),
    path("new/", dives.dive_form, name="dive_new"),
    path("<whole:year>/<whole:ordinal>/", dives.dive, name="dive"),
    path("<whole:year>/<whole:ordinal>/edit/", dives.dive_form, name="dive_edit"),
    path("sites/new/", sites.site_form, name="site_new"),
    path("sites/new/position/", sites.picture_position, name="picture_position"),
    path("sites/<str:slug>/", sites.site, name="site"),
    path("sites/<str:slug>/edit/", sites.site_form, name="site_edit"),
    path("sites/<str:slug>/permission/", sites.permission_form, name="permission_new"),
    path("sites/<str:slug>/permission/<whole:pk>/", sites.permission_form, name="permission_edit"),
    path("sites/<str:slug>/permission/<whole:pk>/paper/", sites.paper, name="paper"),
    path("sites/<str:slug>/clear/", sites.clear, name="site_clear"),
    path("sites/<str:slug>/hold/", sites.hold_again, name="site_hold"),
    path("<whole:year>/<whole:ordinal>/card/", card.card, name="card"),
    path("<whole:year>/<whole:ordinal>/card/arrive/", card.arrive, name="card_arrive"),
]
