"""What every template knows: the shop, the reader's units, the reader's roles."""

from typing import Any

from django.http import HttpRequest

from shoprepair.shop.access import roles_of
from shoprepair.shop.settings import current
from shoprepair.shop.units import units_for


def shop(request: HttpRequest) -> dict[str, Any]:
    """`shop`, `units` and `roles`; taken from the request where the middleware has put them."""
    person = getattr(request, "user", None)
    the_shop = getattr(request, "shop", None) or current()
    units = getattr(request, "units", None) or units_for(person, the_shop)
    return {"shop": the_shop, "units": units, "roles": roles_of(person)}
