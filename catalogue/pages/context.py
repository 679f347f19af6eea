"""What every template may ask for."""

from django.http import HttpRequest

NAVIGATION = (
    ("Finds", "/finds/"),
    ("Towns", "/towns/"),
    ("Makers", "/makers/"),
    ("Dives", "/dives/"),
    ("Workbench", "/workbench/"),
    ("Shelves", "/shelves/"),
    ("Giving", "/giving/"),
)
MORE_ROOMS = (
    ("Still looking for", "/still-looking-for/"),
    ("Bottlers", "/bottlers/"),
    ("Products", "/products/"),
    ("Saved views", "/finds/views/"),
    ("Labels", "/labels/"),
    ("People", "/people/"),
    ("Reference", "/reference/"),
    ("Words of the trade", "/reference/?part=words"),
    ("Safekeeping", "/safekeeping/"),
    ("Bin", "/bin/"),
    ("Settings", "/settings/"),
)
RECORD = "/finds/new/"
# The bar at the foot of a phone: what a wet hand does next. Each with the name of its icon.
BAR = (
    ("Finds", "/finds/", "finds"),
    ("Date", "/date/", "years"),
    ("Record", RECORD, "record"),
    ("Bench", "/workbench/", "bench"),
)
VISITOR_ROOMS = {"/giving/"}


def house(request: HttpRequest) -> dict[str, object]:
    """`is_owner`, the rooms of the navigation and the steps of a phone's bar, with the open one marked."""
    user = getattr(request, "user", None)
    is_owner = bool(user and user.is_authenticated)

    def is_open(url: str) -> bool:
        if url != RECORD and request.path.startswith(RECORD):
            return False
        return request.path.startswith(url)

    return {
        "is_owner": is_owner,
        "rooms": [
            {"name": name, "url": url, "open": is_open(url)}
            for name, url in NAVIGATION
            if is_owner or url in VISITOR_ROOMS
        ],
        "more_rooms": [{"name": name, "url": url, "open": is_open(url)} for name, url in MORE_ROOMS],
        "bar": [{"name": name, "url": url, "icon": icon, "open": is_open(url)} for name, url, icon in BAR],
    }
