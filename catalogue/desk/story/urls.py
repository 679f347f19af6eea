from django.urls import path

from . import views

urlpatterns = [path("finds/<number:number>/story/", views.keep_story, name="find_story")]
