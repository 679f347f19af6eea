"""Which finds a program asks for: by the filters of the list of finds, under their names."""

from http import HTTPStatus

from django.http import HttpRequest, QueryDict

from catalogue.pages.finds.list.facets import FACETS
from catalogue.pages.finds.list.filters import FacetField, FindFilters
from catalogue.pages.finds.list.spans import SPANS
from catalogue.specimens.models import Specimen
from catalogue.specimens.models.specimen import SpecimenQuerySet

from .paging import PART_OF_READING, unknown_names
from .problems import ApiProblem

ENDS = ("from", "to")
FIND_FILTERS = ("q", *(each.key for each in FACETS), *(f"{each.key}_{end}" for each in SPANS for end in ENDS))
# By these a program that sees what visitors see may narrow: what the glass says of itself. By any other it
# could ask in turn where each piece lay, and read the answer off what comes back.
SAID_BY_THE_GLASS = {"town", "maker", "bottler", "product", "decade", "kind", "contents", "colour"}
SAID_BY_ITS_SIZE = {"years", "height", "diameter", "capacity"}
PUBLIC_FILTERS = tuple(
    name for name in FIND_FILTERS if name in SAID_BY_THE_GLASS or name.rpartition("_")[0] in SAID_BY_ITS_SIZE
)


def finds_asked(request: HttpRequest, *, public: bool) -> SpecimenQuerySet[Specimen]:
    """The finds that the address chooses. Raises ApiProblem for what can't be followed."""
    unknown_names(request, FIND_FILTERS)
    said = QueryDict(request.META.get("QUERY_STRING", ""), mutable=True)
    for name in PART_OF_READING:
        said.pop(name, None)
    closed = [name for name in said if name not in PUBLIC_FILTERS]
    if public and closed:
        words = f"This key sees what visitors may see, and may not narrow by {closed[0][:60]}."
        raise ApiProblem(HTTPStatus.FORBIDDEN, words)
    filters = FindFilters(said, queryset=Specimen.objects.all())
    finds: SpecimenQuerySet[Specimen] = filters.qs
    if public and _unknown(filters):
        # The same answer as for a name that only pieces have which visitors don't see.
        return finds.none()
    if complaints := filters.complaints():
        raise ApiProblem(HTTPStatus.BAD_REQUEST, " ".join(complaints))
    return finds.for_visitors() if public else finds


def _unknown(filters: FindFilters) -> bool:
    fields = filters.form.fields.values()
    return any(field.unknown for field in fields if isinstance(field, FacetField))
