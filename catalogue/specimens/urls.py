from django.urls import URLPattern, URLResolver

app_name = "specimens"
urlpatterns: list[URLPattern | URLResolver] = []
