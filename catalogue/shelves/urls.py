from django.urls import URLPattern, URLResolver

app_name = "shelves"
urlpatterns: list[URLPattern | URLResolver] = []
