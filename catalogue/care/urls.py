from django.urls import URLPattern, URLResolver

app_name = "care"
urlpatterns: list[URLPattern | URLResolver] = []
