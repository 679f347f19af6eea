from django.urls import URLPattern, URLResolver, path

from .views import finds

app_name = "care"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", finds.workbench, name="workbench"),
    path("<number:number>/stage/", finds.stage, name="stage"),
    path("<number:number>/condition/", finds.condition, name="condition"),
    path("<number:number>/treatment/", finds.treatment, name="treatment"),
]
