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
VISITOR_ROOMS = {"/giving/"}


def house(request: HttpRequest) -> dict[str, object]:
    """`is_owner`, and the rooms of the main navigation with the one that is open marked."""
    user = getattr(request, "user", None)
    is_owner = bool(user and user.is_authenticated)
    rooms = [
        {"name": name, "url": path, "open": request.path.startswith(path)}
        for name, path in NAVIGATION
        if is_owner or path in VISITOR_ROOMS
    ]
    return {"is_owner": is_owner, "rooms": rooms}
