from django.urls import path

from . import views

urlpatterns = [
    path("finds/new/", views.new_find, name="find_new"),
    path("finds/dating/", views.date_so_far, name="find_dating"),
    path("finds/questions/", views.questions, name="find_questions"),
    path("finds/suggest/<slug:kind>/", views.suggestions, name="find_suggest"),
    path("finds/<number:number>/edit/", views.edit_find, name="find_edit"),
]
