"""The list of products."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from catalogue.pages.parts.lettered import lettered
from catalogue.specimens.models import Product


@require_safe
def products(request: HttpRequest) -> HttpResponse:
    """Every product, those with pieces first; two of one name are told apart by their bottlers."""
    rows = Product.objects.select_related("bottler")
    return render(request, "pages/products/list.html", lettered(request, rows, "product", _beside))


def _beside(product: Product) -> str:
    return product.bottler.name if product.bottler else str(product.get_contents_display())
