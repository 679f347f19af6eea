from django.urls import URLPattern, URLResolver

app_name = "exchange"
urlpatterns: list[URLPattern | URLResolver] = []
