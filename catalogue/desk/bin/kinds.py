"""Kinds of record that can lie in the bin, by the word used in addresses."""

from django.db import models

from catalogue.care.models import ConditionReport, Treatment
from catalogue.people.models import Person
from catalogue.photos.models import Photo
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Permission, Site
from catalogue.specimens.models import Maker, Specimen

KINDS: dict[str, tuple[str, type[models.Model]]] = {
    "find": ("Finds", Specimen),
    "picture": ("Pictures", Photo),
    "dive": ("Dives", Dive),
    "site": ("Sites", Site),
    "permission": ("Permissions", Permission),
    "place": ("Places", Place),
    "maker": ("Makers", Maker),
    "condition": ("Condition reports", ConditionReport),
    "treatment": ("Treatments", Treatment),
    "person": ("People", Person),
}
