import pytest
from django.contrib.auth.models import AnonymousUser
from django.test import RequestFactory

from shoprepair.shop.access import Roles
from shoprepair.shop.context import shop
from shoprepair.shop.models import Staff
from shoprepair.shop.settings import current
from shoprepair.shop.units import Units

pytestmark = pytest.mark.django_db


def test_a_page_knows_shop_units_and_roles(rf: RequestFactory) -> None:
    request = rf.get("/")
    request.user = Staff(role="bench", length_unit="in")
    known = {"shop": current(), "units": Units("bar", "in", "°C"), "roles": Roles(bench=True)}
    assert shop(request) == known | {"shared": False, "by_pin": False, "look": ""}


def test_the_log_in_page_is_in_the_shops_units_and_offers_nobodys_work(rf: RequestFactory) -> None:
    request = rf.get("/")
    request.user = AnonymousUser()
    known = {"shop": current(), "units": Units(), "roles": Roles()}
    assert shop(request) == known | {"shared": False, "by_pin": False, "look": ""}
