"""Merging a product with another."""

from typing import Final

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_POST

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.look_alikes import say_apart
from catalogue.pages.parts.merging import MergeRoom, merge_page, undo_page
from catalogue.specimens.models import Product

PRODUCT_MERGING: Final = MergeRoom(
    space="products",
    word="product",
    words="products",
    rows=lambda: Product.objects.select_related("bottler"),
    beside=lambda product: product.bottler.name if product.bottler else "",
    follows="The pieces keep their bottler.",
)


@GET_OR_POST
@kept_once
def merge(request: HttpRequest, slug: str) -> HttpResponse:
    """Choose the other one, see what moves, do it."""
    return merge_page(request, PRODUCT_MERGING, get_object_or_404(Product.everything, slug=slug))


@require_POST
@kept_once
def undo(request: HttpRequest, pk: int) -> HttpResponse:
    """The merged product is there again, with what moved."""
    return undo_page(request, PRODUCT_MERGING, pk)


@require_POST
@kept_once
def apart(request: HttpRequest, one: int, other: int) -> HttpResponse:
    """They look like one and are two."""
    return say_apart(request, PRODUCT_MERGING, one, other)
