"""Choices that several models of this room share."""

from django.db import models


class Certainty(models.TextChoices):
    CERTAIN = "certain", "certain"
    PROBABLE = "probable", "probable"
    DOUBTFUL = "doubtful", "doubtful"


class Contents(models.TextChoices):
    """What a bottle held. The first seven are the classes the reference tables speak of."""

    SODA = "soda", "soda or mineral water"
    BEER = "beer", "beer"
    LIQUOR = "liquor", "wine or spirits"
    MEDICINE = "medicine", "medicine"
    MILK = "milk", "milk"
    FOOD = "food", "food"
    OTHER = "other", "ink, scent, household or other"


class Where(models.TextChoices):
    """Parts of a vessel where something can be read."""

    BASE = "base", "base"
    HEEL = "heel", "heel"
    BODY = "body", "body"
    SIDE = "side", "side"
    SHOULDER = "shoulder", "shoulder"
    NECK = "neck", "neck"
    LIP = "lip", "lip"
    RIM = "rim", "rim"
    CLOSURE = "closure", "stopper or cap"
