import pytest

from shoprepair.jobs import links
from tests.factories import JobFactory

pytestmark = pytest.mark.django_db


def test_smoke(client, counter):
    job = JobFactory()
    link = links.make(job, who=counter)
    a = client.get(links.path(link))
    assert a.status_code == 200
    assert client.get("/s/nope/").status_code == 404
