import pytest

from shoprepair.jobs import links
from shoprepair.jobs.models import Job
from shoprepair.shop.models import Shop, Staff
from shoprepair.shop.settings import current
from tests.portal.visits import assessed


@pytest.fixture
def shop(db: None) -> Shop:
    shop = current()
    shop.name, shop.phone, shop.address = "North Quay Loft", "+1 555 0123", "Harbour Lane 4\nNorth Quay"
    shop.save()
    return shop


@pytest.fixture
def job(shop: Shop, counter: Staff) -> Job:
    """An assessed job with a cut, which the customer may look at."""
    job = assessed()
    links.make(job, who=counter)
    return job
