"""The catalogue: a Django project of apps, lowest first, and the pages above them."""

__version__ = "0.6.0"
