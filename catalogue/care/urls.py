from django.urls import URLPattern, URLResolver, path

from . import views

app_name = "care"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.workbench, name="workbench"),
    path("<number:number>/stage/", views.stage, name="stage"),
    path("<number:number>/condition/", views.condition, name="condition"),
    path("<number:number>/treatment/", views.treatment, name="treatment"),
]
