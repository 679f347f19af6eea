"""Pages of a list; a page that is not there becomes the nearest one, with a sentence."""

from django.core.paginator import Page, Paginator
from django.db.models import QuerySet


class CountedPaginator(Paginator):
    """Pages of rows whose number is known, so that it need not be asked for again."""

    def __init__(self, rows: QuerySet, per_page: int, count: int) -> None:
        super().__init__(rows, per_page)
        # in place of the property of that name, which remembers its answer here
        self.__dict__["count"] = count


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
