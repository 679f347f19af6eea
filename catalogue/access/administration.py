"""Read-only admin site: Django's own administration pages, to look at the tables and never to change them.

They know nothing of the rules that the catalogue's own pages keep, so they write nothing. They are there only
where they were asked for: `start --admin`, or `SILTMARK_ADMIN=1` for every other way of serving the pages.
"""

from collections.abc import Callable, Iterable
from typing import Any, TypeVar

from django.conf import settings
from django.contrib import admin
from django.contrib.admin.apps import AdminConfig
from django.core.exceptions import PermissionDenied
from django.db.models import Model
from django.http import Http404, HttpRequest, HttpResponse

READING = ("GET", "HEAD")
ONLY_TO_LOOK = "These pages are only to look at: change it on the catalogue's own pages."
OFF = "The administration pages are off: start with --admin to look at them."
View = TypeVar("View", bound=Callable[..., Any])


class ViewOnly:
    """Laid over each page of the administration: no button there adds, changes or deletes."""

    def has_add_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False


class ViewOnlySite(admin.AdminSite):
    """Every page registered with it, also by other packages, is only to look at."""

    def register(
        self,
        model_or_iterable: type[Model] | Iterable[type[Model]],
        admin_class: Any = None,
        **options: Any,
    ) -> None:
        base = admin_class or admin.ModelAdmin
        inlines = [type(each.__name__, (ViewOnly, each), {"extra": 0}) for each in base.inlines]
        page = type(base.__name__, (ViewOnly, base), {"inlines": inlines, "__module__": base.__module__})
        super().register(model_or_iterable, page, **options)

    def admin_view(self, view: View, cacheable: bool = False) -> View:
        """Only reading gets through to any of its views; where they are off, nothing does."""
        inner = super().admin_view(view, cacheable)

        def asked(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            if not settings.ADMINISTRATION:
                raise Http404(OFF)
            if request.method not in READING and view != self.logout:
                raise PermissionDenied(ONLY_TO_LOOK)
            answer: HttpResponse = inner(request, *args, **kwargs)
            return answer

        return asked  # type: ignore[return-value]  # the same call, as a plain function


class AdministrationConfig(AdminConfig):
    """Django's administration with that site in place of its own."""

    default_site = "catalogue.access.administration.ViewOnlySite"
