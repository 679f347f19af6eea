"""Kinds of record that can lie in the bin, by the word used in addresses."""

from collections.abc import Callable

from django.db import models

from catalogue.care.models import ConditionReport, Treatment
from catalogue.people.models import Person
from catalogue.photos.models import Photo, ShelfSession
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Permission, Site
from catalogue.specimens.models import Maker, SavedView, Specimen
from catalogue.specimens.services.makers import refresh_after_maker

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
    "view": ("Saved views", SavedView),
    "shelf": ("Shelves begun from a picture", ShelfSession),
}

# What has to follow when a record of that kind goes into the bin or comes back: a maker's marks stop
# counting in dating, or count again.
AFTERWARDS: dict[str, Callable[[models.Model], object]] = {"maker": refresh_after_maker}
