"""Pair a phone: a code on the owner's screen that lets it in once."""

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from catalogue.access import qr, services
from catalogue.access.models import OneTimeKey


@never_cache
@require_http_methods(["GET", "POST"])
def phones(request: HttpRequest) -> HttpResponse:
    """Explain pairing; when asked (POST), show a code. A code is never shown twice: it is not kept."""
    addresses = settings.LAN_ADDRESSES
    shown = {"addresses": addresses, "lan": settings.LAN}
    if request.method == "POST" and addresses:
        wanted = request.POST.get("address")
        address = wanted if wanted in addresses else addresses[0]
        key = services.make_key(OneTimeKey.Opens.PHONE)
        link = f"http://{address}:{settings.PORT}{reverse('access:enter', args=[key])}"
        shown |= {"link": link, "code": qr.on_screen(link), "chosen": address}
        shown["minutes"] = int(services.LIFETIMES[OneTimeKey.Opens.PHONE].total_seconds() // 60)
    return render(request, "pages/settings/phones.html", shown)
