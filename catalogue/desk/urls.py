from django.urls import URLPattern, URLResolver

app_name = "desk"
urlpatterns: list[URLPattern | URLResolver] = []
