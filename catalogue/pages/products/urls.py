"""Everything under /products/."""

from django.urls import URLPattern, URLResolver, path

from . import merging, product
from . import views as products

app_name = "products"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", products.products, name="products"),
    path("<str:slug>/", product.product, name="product"),
    path("<str:slug>/merge/", merging.merge, name="product_merge"),
    path("apart/<whole:one>/<whole:other>/", merging.apart, name="merge_apart"),
    path("merges/<whole:pk>/undo/", merging.undo, name="merge_undo"),
    path("<str:slug>/notes/", product.product_notes, name="product_notes"),
    path("<str:slug>/edit/", products.product_edit, name="product_edit"),
]
