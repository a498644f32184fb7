"""How the screens of one device look: as the device itself does, by day in the sun, or at night.

It is kept by the device and not with the person: the tablet on the counter and the phone outdoors stand in
different light, whoever holds them. The server reads it, so that a page never flashes in another look first.
"""

import datetime

from django.conf import settings
from django.http import HttpRequest, HttpResponse

DAY, NIGHT, BY_ITSELF = "day", "night", ""
NEXT = {BY_ITSELF: DAY, DAY: NIGHT, NIGHT: BY_ITSELF}
"""What one tap changes each look to. Day comes first: who stands in the sun sees the least."""
_LASTS = datetime.timedelta(days=365)


def chosen(request: HttpRequest) -> str:
    """The look that was chosen for this device; empty where the device decides."""
    kept = request.COOKIES.get(cookie_name(), "")
    return kept if kept in NEXT else BY_ITSELF


def choose(response: HttpResponse, look: str) -> None:
    """Have the device keep this look. `static/js/look.js` writes the same cookie."""
    lasting = _LASTS if look else datetime.timedelta()
    response.set_cookie(cookie_name(), look, max_age=lasting, secure=settings.HTTPS, samesite="Lax")


def cookie_name() -> str:
    """As the shop's other cookies: bound to this host where the line is encrypted."""
    return "__Host-look" if settings.HTTPS else "look"
