"""The list of products, and the form of one."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.from_bin import record_to_edit
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.lettered import lettered
from catalogue.pages.parts.look_alikes import alike_in
from catalogue.pages.parts.undo import say_saved
from catalogue.pages.parts.years_changed import phrases
from catalogue.specimens.models import Product
from catalogue.specimens.services.trade import keep_product, told_apart

from .form import ProductForm
from .merging import PRODUCT_MERGING


@require_safe
def products(request: HttpRequest) -> HttpResponse:
    """Every product, those with pieces first; two of one name are told apart by their bottlers."""
    rows = Product.objects.select_related("bottler__town")
    context = lettered(request, rows, "product", _beside)
    context["alike"] = alike_in(PRODUCT_MERGING)
    return render(request, "pages/products/list.html", context)


@GET_OR_POST
@kept_once
def product_edit(request: HttpRequest, slug: str) -> HttpResponse:
    """A product's name, who filled it and what it was."""
    found = record_to_edit(request, Product.everything.select_related("bottler__town"), slug=slug)
    name = found.name
    form = ProductForm(request.POST or None, instance=found)
    if request.method == "POST" and form.is_valid():
        changed = keep_product(found, form.changed_columns())
        say_saved(request, found, f"{found.name} is saved. {phrases(changed)}")
        return redirect(found)
    status = 422 if request.method == "POST" else 200
    context = {"form": form, "name": name, "back": found.get_absolute_url(), "suggests": "bottler"}
    return render(request, "pages/parts/edit_page.html", context, status=status)


def _beside(product: Product) -> str:
    return told_apart(product.bottler) if product.bottler else str(product.get_contents_display())
