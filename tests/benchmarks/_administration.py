"""The framework's own list of the same finds with the same filters, to be measured beside ours."""

from django.contrib import admin
from django.urls import include, path

from catalogue.photos.models import Photo
from catalogue.specimens.models import Specimen


class Decade(admin.SimpleListFilter):
    """The decade filter as one writes it there."""

    title, parameter_name = "decade made", "decade"

    def lookups(self, request, model_admin) -> list[tuple[str, str]]:
        return [(str(year), f"{year}s") for year in range(1700, 2030, 10)]

    def queryset(self, request, queryset):
        return queryset.filter(made_decades__contains=f"|{self.value()}|") if self.value() else queryset


class Pictured(admin.SimpleListFilter):
    """With or without a picture."""

    title, parameter_name = "pictures", "picture"

    def lookups(self, request, model_admin) -> list[tuple[str, str]]:
        return [("yes", "with a picture"), ("no", "none yet")]

    def queryset(self, request, queryset):
        pictured = Photo.objects.filter(find__isnull=False).values("find")
        if not self.value():
            return queryset
        return (queryset.filter if self.value() == "yes" else queryset.exclude)(pk__in=pictured)


class Finds(admin.ModelAdmin):
    """As many rows a page, the same filters; `show_facets` says whether counts stand beside them."""

    list_display = ("number", "what", "town", "maker", "made_words", "stage", "standing", "place")
    list_select_related = ("town", "maker", "place", "dive__site", "site")
    list_filter = (
        *("town", "maker", Decade, "dive__site", "stage", "standing"),
        *("kind", "contents", "colour", "place", Pictured),
    )
    list_per_page = 48
    search_fields = ("number", "what", "notes")


class CountedFinds(Finds):
    show_facets = admin.ShowFacets.ALWAYS


plain, counted = admin.AdminSite(name="plain"), admin.AdminSite(name="counted")
plain.register(Specimen, Finds)
counted.register(Specimen, CountedFinds)
urlpatterns = [
    path("plain/", plain.urls),
    path("counted/", counted.urls),
    path("", include("catalogue.urls")),
]
