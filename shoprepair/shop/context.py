"""What every template knows: the shop, the reader's units, the reader's roles, where the reader sits."""

from typing import Any

from django.http import HttpRequest

from shoprepair.shop import looks, tablets
from shoprepair.shop.access import may_ask_for_more, roles_of
from shoprepair.shop.settings import current
from shoprepair.shop.units import units_for


def shop(request: HttpRequest) -> dict[str, Any]:
    """`shop`, `units` and `roles`, from the request where the middleware has put them.

    `shared` on a tablet that several people use, `by_pin` for an owner to whom the password opens more;
    `look` is how this device's screens look.
    """
    person = getattr(request, "user", None)
    the_shop = getattr(request, "shop", None) or current()
    units = getattr(request, "units", None) or units_for(person, the_shop)
    known = {"shop": the_shop, "units": units, "roles": roles_of(person)}
    known |= {"shared": tablets.looks_enrolled(request), "look": looks.chosen(request)}
    return known | {"by_pin": may_ask_for_more(person)}
