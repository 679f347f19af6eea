"""What a plate shows, and how it is laid out."""

from django.db import models


class Look(models.TextChoices):
    PLAIN = "plain", "as photographed"
    CONTRAST = "contrast", "shading taken away"
    VARIATION = "variation", "what changes with the lamp"
    RAISED = "raised", "what stands raised"
    RELIT = "relit", "under a lamp you move"


class Shape(models.TextChoices):
    ROUND = "round", "as it lies"
    STRIP = "strip", "unrolled"


# How each was worked out, for the words kept with a plate.
METHODS = {
    Look.PLAIN: "laid out only, brightness as photographed",
    Look.CONTRAST: "slow shading divided out, local contrast raised and equalised",
    Look.VARIATION: "how much each spot changes from lamp to lamp, shading divided out",
    Look.RAISED: "slopes from the lamps' places (photometric stereo, Woodham 1980), raised detail kept",
    Look.RELIT: "slopes from the lamps' places (photometric stereo, Woodham 1980), lit anew",
}
