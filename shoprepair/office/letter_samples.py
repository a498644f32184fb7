"""Made-up values of a letter's preview, in the shop's own name, money, units and language."""

import datetime
from decimal import Decimal

from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.pricing.money import say
from shoprepair.pricing.quotes import words
from shoprepair.shop.models import Shop
from shoprepair.shop.units import say_length, units_for

PATCH, SEAM, DEPOSIT, BEFORE = Decimal(196), Decimal("52.50"), Decimal(80), Decimal("80.50")
VALID = datetime.timedelta(days=28)


def samples(shop: Shop) -> dict[str, str]:
    """What stands for each placeholder that differs from shop to shop; the rest has samples of its own."""

    def money(amount: Decimal) -> str:
        return say(amount, shop.currency)

    units = units_for(None, shop)
    long, away = say_length(0.035, units), say_length(0.4, units)
    agreed = ((gettext("Patch on the leading edge"), PATCH), (gettext("Opening and closing the seam"), SEAM))
    own = {
        "total": money(PATCH + SEAM),
        "deposit": money(DEPOSIT),
        "together": money(PATCH + SEAM + BEFORE),
        "agreed": "\n".join(f"{what}: {money(amount)}" for what, amount in agreed),
        "valid_until": words.day(timezone.localdate() + VALID),
        "gear": gettext("Petrel 5.0, sea green"),
        "question": gettext("Can it be ready before the weekend?"),
        "answer": gettext("Yes, on Friday after three if you agree today."),
        "damage": gettext("%(long)s seam opened, leading edge, %(away)s right of centre")
        % {"long": long, "away": away},
        "decision": gettext("It is ours: we mend it, and you pay nothing for it."),
        "words": gettext("The inner row of our patch let go. We sew it anew with three rows."),
    }
    if shop.web_address:
        own["link"] = f"{shop.web_address.rstrip('/')}/s/a-long-secret-key/"
    return own | ({"shop": shop.name} if shop.name else {})
