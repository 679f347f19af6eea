from django.urls import URLPattern, URLResolver

app_name = "sites"
urlpatterns: list[URLPattern | URLResolver] = []
