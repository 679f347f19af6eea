from django.urls import URLPattern, URLResolver

app_name = "giving"
urlpatterns: list[URLPattern | URLResolver] = []
