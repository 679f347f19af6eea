from django.urls import path

from . import dives, sites

urlpatterns = [
    path("dives/", dives.dives, name="dives"),
    path("dives/new/", dives.dive_form, name="dive_new"),
    path("dives/<int:year>/<int:ordinal>/", dives.dive, name="dive"),
    path("dives/<int:year>/<int:ordinal>/edit/", dives.dive_form, name="dive_edit"),
    path("dives/sites/new/", sites.site_form, name="site_new"),
    path("dives/sites/<str:slug>/", sites.site, name="site"),
    path("dives/sites/<str:slug>/edit/", sites.site_form, name="site_edit"),
    path("dives/sites/<str:slug>/permission/", sites.permission_form, name="permission_new"),
    path("dives/sites/<str:slug>/permission/<int:pk>/", sites.permission_form, name="permission_edit"),
    path("dives/sites/<str:slug>/clear/", sites.clear, name="site_clear"),
]
