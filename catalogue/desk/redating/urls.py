from django.urls import path

from . import views

urlpatterns = [
    path("reference/redating/", views.redating, name="redating"),
    path("reference/redating/now/", views.redate_now, name="redate_now"),
]
