"""Merging a product with another."""

from collections import defaultdict
from typing import Final

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_POST

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.look_alikes import NamedRow, Pairs
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.look_alikes import say_apart
from catalogue.pages.parts.merging import MergeRoom, merge_page, undo_page
from catalogue.specimens.models import Product, Specimen


def _of_one_bottler(pairs: Pairs) -> Pairs:
    """Without pairs of a bottler's product and one of no bottler whose pieces others filled. Two queries."""
    keys = {row.key for pair in pairs for row in pair}
    own = dict(Product.objects.filter(pk__in=keys, bottler__isnull=False).values_list("pk", "bottler"))
    filled: dict[int | None, set[int | None]] = defaultdict(set)
    if own:
        rows = Specimen.objects.filter(product__in=keys, bottler__isnull=False).order_by()
        for product, bottler in rows.values_list("product", "bottler").distinct():
            filled[product].add(bottler)

    def fit(one: NamedRow, other: NamedRow) -> bool:
        firms = {own[row.key] for row in (one, other) if row.key in own}
        loose = (row.key for row in (one, other) if row.key not in own)
        return not firms or all(filled[key] <= firms for key in loose)

    return [pair for pair in pairs if fit(*pair)]


PRODUCT_MERGING: Final = MergeRoom(
    space="products",
    word="product",
    words="products",
    rows=lambda: Product.objects.select_related("bottler"),
    beside=lambda product: product.bottler.name if product.bottler else "",
    follows="The pieces keep their bottler.",
    may_be_one=_of_one_bottler,
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
