"""Pages of a list; a page that is not there becomes the nearest one, with a sentence."""

from django.core.paginator import Page, Paginator
from django.db.models import QuerySet


class CountedPaginator(Paginator):
    """Pages of rows whose number is known, so that it need not be asked for again.

    `keys`: the same rows in the same order, without what is joined for showing. The page is picked out of
    these and only its rows are fetched whole, still in one query: sorting whole rows to show 48 of them took
    most of the time of a list of a hundred thousand.
    """

    def __init__(self, rows: QuerySet, per_page: int, count: int, *, keys: QuerySet | None = None) -> None:
        super().__init__(rows, per_page)
        self._keys = keys
        # in place of the property of that name, which remembers its answer here
        self.__dict__["count"] = count

    def page(self, number: int) -> Page:
        """That page's rows."""
        number = self.validate_number(number)
        if self._keys is None:
            return super().page(number)
        first = (number - 1) * self.per_page
        here = self._keys.values("pk")[first : first + self.per_page]
        return self._get_page(self.object_list.filter(pk__in=here), number, self)


def page_of(paginator: Paginator, asked: str) -> tuple[Page, str]:
    """The page asked for in the address, and what to say where it could not be followed ("" mostly)."""
    if not asked:
        return paginator.page(1), ""
    if not (asked.isascii() and asked.isdigit()) or int(asked[:12]) < 1:
        return paginator.page(1), "That page number can't be read, so this is the first page."
    number = int(asked[:12])
    if number > paginator.num_pages:
        return paginator.page(paginator.num_pages), f"There is no page {number}; this is the last one."
    return paginator.page(number), ""
