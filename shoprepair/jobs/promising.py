"""The day that a visit is promised for before anybody has looked closer."""

import datetime

from shoprepair.shop import opening
from shoprepair.shop.settings import current


def usual(since: datetime.date) -> datetime.date:
    """So many days on as the shop usually takes, or the next day after that on which it is open."""
    shop = current()
    return opening.open_on(shop, since + datetime.timedelta(days=shop.usual_days))
