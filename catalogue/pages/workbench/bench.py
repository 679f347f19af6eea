"""The bench at a glance."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from catalogue.care.queries import bench
from catalogue.care.queries.running import open_baths, open_soaks
from catalogue.specimens.models import Specimen


@require_safe
def workbench(request: HttpRequest) -> HttpResponse:
    """What runs and when somebody has to come; what is undecided; finds by stage, the longest there first."""
    now = timezone.now()
    rows = bench()
    soaks = open_soaks(now)
    baths = open_baths(now)
    context = {
        "now": now,
        "baths": baths,
        "soaks": soaks,
        "rows": rows,
        # Without a look aimed at, nobody knows what to do next.
        "undecided": [each for row in rows for each in row.finds if not each.find.look],
        "soak_of": {member.find_id: row for row in soaks for member in row.members},
        "bath_of": {member.find_id: row for row in baths for member in row.inside},
        "looks": Specimen.Look,
        "alarm": "late" if any(row.late for row in baths) else any(row.to_look for row in baths),
    }
    return render(request, "pages/workbench/workbench.html", context)
