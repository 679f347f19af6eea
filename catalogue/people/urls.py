from django.urls import path

from . import views

app_name = "people"
urlpatterns = [
    path("", views.people, name="people"),
    path("new/", views.person, name="person_new"),
    path("<int:pk>/", views.person, name="person"),
    path("<int:pk>/erase/", views.erase_person, name="erase"),
]
