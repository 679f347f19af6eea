from django.urls import URLPattern, URLResolver

app_name = "photos"
urlpatterns: list[URLPattern | URLResolver] = []
