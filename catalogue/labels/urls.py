from django.urls import URLPattern, URLResolver

app_name = "labels"
urlpatterns: list[URLPattern | URLResolver] = []
