"""Everything under /reference/."""

from django.urls import URLPattern, URLResolver, path

from . import views as reference
from .redating import views as redating

app_name = "reference"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", reference.reference, name="reference"),
    path("redating/", redating.redating, name="redating"),
    path("redating/now/", redating.redate_now, name="redate_now"),
]
