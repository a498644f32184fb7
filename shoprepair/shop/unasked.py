"""Fields sent along that no page offers there: somebody would like to be more than they are.

No form takes them, so nothing comes of it; but the owner should read of it.
"""

import datetime
import logging
from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

from shoprepair.shop import journal, limits
from shoprepair.shop.said import gettext

NOWHERE = frozenset(
    (
        *("is_superuser", "is_staff", "is_active", "is_owner", "groups", "user_permissions"),
        *("created_by", "who", "who_id", "role_id"),
        *("price", "unit_price", "total_price", "net", "gross", "tax", "discount_amount"),
    )
)
"""No form of the shop has such a field."""
ONLY_AT = {"role": frozenset({"person", "person-add"})}
MOST_A_DAY = 5
"""Of one person; what somebody tries without end fills no journal."""
log = logging.getLogger(__name__)


class UnaskedMiddleware:
    """Writes down who sent a field that the page they sent it to does not have."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        # A body that nobody read is none of a form.
        if request.method == "POST" and hasattr(request, "_post") and (names := unasked(request)):
            _tell(request, names)
        return response


def unasked(request: HttpRequest) -> list[str]:
    """The names of such fields in what was sent."""
    match = request.resolver_match
    page = match.url_name if match else None
    elsewhere = {name for name, pages in ONLY_AT.items() if page not in pages}
    return sorted((NOWHERE | elsewhere) & set(request.POST))


def _tell(request: HttpRequest, names: list[str]) -> None:
    """Only the names, which are ours: what was in the fields is nobody's to read."""
    person = request.user
    if not person.is_authenticated:
        return
    log.warning("Fields that this page does not have: %s", ", ".join(names))
    if limits.allow("unasked", str(person.pk), most=MOST_A_DAY, per=datetime.timedelta(days=1)):
        text = gettext("%(person)s sent what the page does not ask for: %(join)s. Nothing came of it.") % {
            "person": person,
            "join": ", ".join(names),
        }
        journal.record(person, "fields.unasked", text, who=person)
