from django.urls import URLPattern, URLResolver

app_name = "access"
urlpatterns: list[URLPattern | URLResolver] = []
