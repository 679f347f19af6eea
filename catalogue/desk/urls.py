"""The composed pages; each package keeps its own addresses."""

from django.urls import URLPattern, URLResolver

from .backlog.urls import urlpatterns as backlog_pages
from .bench.urls import urlpatterns as bench_pages
from .bin.urls import urlpatterns as bin_pages
from .browse.urls import urlpatterns as browse_pages
from .card.urls import urlpatterns as card_pages
from .dating_page.urls import urlpatterns as dating_pages
from .find.urls import urlpatterns as find_pages
from .giveaways.urls import urlpatterns as giveaway_pages
from .identify.urls import urlpatterns as identify_pages
from .plates.urls import urlpatterns as plate_pages
from .reading.urls import urlpatterns as reading_pages
from .record.urls import urlpatterns as record_pages
from .redating.urls import urlpatterns as redating_pages
from .saved_views.urls import urlpatterns as saved_view_pages
from .settings.urls import urlpatterns as settings_pages
from .shelves.urls import urlpatterns as shelf_pages
from .story.urls import urlpatterns as story_pages
from .today.urls import urlpatterns as today_pages
from .waters.urls import urlpatterns as water_pages

app_name = "desk"
urlpatterns: list[URLPattern | URLResolver] = [
    *today_pages,
    *record_pages,
    *find_pages,
    *giveaway_pages,
    *reading_pages,  # /makers/read/, before /makers/<maker>/
    *browse_pages,
    *dating_pages,
    *water_pages,
    *card_pages,
    *shelf_pages,
    *bench_pages,
    *bin_pages,
    *settings_pages,
    *redating_pages,
    *backlog_pages,
    *identify_pages,
    *saved_view_pages,
    *plate_pages,
    *story_pages,
]
