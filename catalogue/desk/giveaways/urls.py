from django.urls import path

from . import views

urlpatterns = [path("giveaways/", views.giveaways, name="giveaways")]
