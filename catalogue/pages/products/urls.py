"""Everything under /products/."""

from django.urls import URLPattern, URLResolver, path

from . import product
from . import views as products

app_name = "products"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", products.products, name="products"),
    path("<str:slug>/", product.product, name="product"),
    path("<str:slug>/notes/", product.product_notes, name="product_notes"),
    path("<str:slug>/edit/", products.product_edit, name="product_edit"),
]
