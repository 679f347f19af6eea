from django.urls import path

from . import views

app_name = "labels"
urlpatterns = [path("", views.labels, name="labels")]
