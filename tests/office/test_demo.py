"""The demo shop, built once for all that it is held to."""

from pathlib import Path

import pytest
from django.conf import settings
from django.db import transaction

from shoprepair.gear import describe
from shoprepair.office.demo import build
from tests.office.demo import NOW

pytest.register_assert_rewrite(
    "tests.office.demo.shop",
    "tests.office.demo.quotes",
    "tests.office.demo.bench",
    "tests.office.demo.covers",
    "tests.office.demo.enquiries",
)

from tests.office.demo.bench import *  # noqa: E402, F403
from tests.office.demo.covers import *  # noqa: E402, F403
from tests.office.demo.enquiries import *  # noqa: E402, F403
from tests.office.demo.quotes import *  # noqa: E402, F403
from tests.office.demo.shop import *  # noqa: E402, F403

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module", autouse=True)
def _shop(django_db_setup, django_db_blocker):
    """The demo shop, built once for all of these tests."""
    with django_db_blocker.unblock(), transaction.atomic():
        build.build(NOW)
        yield
        transaction.set_rollback(True)
    describe.forget()
    (Path(settings.DATA_DIR) / "demo-shop").unlink()
