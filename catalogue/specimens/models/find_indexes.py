"""The indexes of finds, each with the query that it serves."""

from django.db import models
from django.db.models import Q

# Columns that the finds list counts by.
COUNTED = (
    *("town", "maker", "bottler", "product", "made_decades", "made_spread"),
    *("stage", "standing", "kind", "contents", "colour", "place", "care_flags", "twin_group", "shared"),
)
# Columns that the finds list says are missing, in one index (`pages/finds/list/flag_facets.py`).
MAY_LACK = (
    *("place", "standing", "dive", "site", "recovered_edtf", "made_from", "made_to"),
    *("maker", "town", "bottler", "kind", "height_mm"),
    # asked for as well: without it SQLite would look at each find
    "binned_at",
)
# Sizes that the finds list can be narrowed by.
MEASURED = ("height_mm", "diameter_mm", "capacity_ml")

FIND_INDEXES = [
    # the finds list in its own order, newest number first
    models.Index(
        fields=["-number_year", "-number_ordinal", "-number_piece", "number_part"],
        name="find_in_order",
    ),
    # the finds list sorted by year of making, and the decade's range
    models.Index(fields=["made_from", "made_to"], name="find_by_window"),
    # the numbers beside each filter's choices on the finds list: read from these alone, in order,
    # without touching the finds themselves (ten times quicker at 100,000); the filters by stage,
    # standing, town ..., the workbench's counts and the pieces to give away use them too
    *(
        models.Index(fields=[column], condition=Q(binned_at__isnull=True), name=f"find_count_{column}")
        for column in COUNTED
    ),
    # the same for the filters by site, by dive and by the year that it came up
    models.Index(
        fields=["dive", "site", "recovered_edtf"],
        condition=Q(binned_at__isnull=True),
        name="find_count_recovered",
    ),
    # the same for the filter of what is missing: whether each of these is there
    models.Index(fields=MAY_LACK, condition=Q(binned_at__isnull=True), name="find_count_lacking"),
    # the least and the greatest of a size, between which its slider runs
    *(
        models.Index(fields=[column], condition=Q(binned_at__isnull=True), name=f"find_by_{column}")
        for column in MEASURED
    ),
]
