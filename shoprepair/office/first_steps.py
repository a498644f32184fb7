"""What the owner of a shop without a single job does next."""

from typing import NamedTuple

from django.urls import reverse
from django.utils.translation import gettext

from shoprepair.shop.models import Shop


class Step(NamedTuple):
    what: str
    why: str
    url: str
    done: bool


def first_steps(shop: Shop, standing: dict[str, int]) -> list[Step]:
    """What is set up before the first gear comes in, in the order in which it is quickest."""
    return [
        Step(
            gettext("Say who you are"),
            gettext("Name, address and terms stand on every tag, quote and cover."),
            reverse("settings"),
            bool(shop.address.strip()),
        ),
        Step(
            gettext("Bring in your repairs"),
            gettext("With their minutes and their cover. One button brings in a set to make your own."),
            reverse("catalogue"),
            standing["operations"] > 0,
        ),
        Step(
            gettext("Set your prices"),
            gettext("Hourly rate, tax, deposit and what an opening takes."),
            reverse("price-rules"),
            standing["operations"] > 0 and standing["materials"] > 0,
        ),
        Step(
            gettext("Let the others log in"),
            gettext("Everybody at the counter and at the bench has a name and a password."),
            reverse("people"),
            standing["people"] > 1,
        ),
        Step(
            gettext("Say who is at the bench when"),
            gettext("Promised days are reckoned by these hours."),
            reverse("bench-hours"),
            standing["hours"] > 0,
        ),
    ]
