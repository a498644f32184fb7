"""From the page of a visit that is over to what its repairs are covered for."""

import pytest

from shoprepair.cover import links
from shoprepair.jobs import links as status_links
from shoprepair.jobs import ownership
from shoprepair.portal.covered import cover_page
from tests.factories import CustomerFactory, InflatableFactory, OwnershipFactory
from tests.papers.covering import cover, visit

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(shop, counter):
    """A visit of Ilka's wing that was handed back with a cover."""
    ilka = CustomerFactory(name="Ilka Sandvoort")
    wing = InflatableFactory()
    OwnershipFactory(customer=ilka, inflatable=wing)
    back = visit(wing, customer=ilka)
    cover(back)
    links.make(wing)
    status_links.make(back.job, who=counter)
    return back.job


def test_who_has_it_back_is_led_to_what_is_covered(client, job):
    there = cover_page(job)
    page = client.get(status_links.path(status_links.current(job)))
    assert f'href="{there}"' in page.content.decode()
    assert client.get(there).status_code == 200


def test_who_passed_it_on_is_not_led_to_what_is_repaired_for_another(job, counter):
    ownership.pass_on(job.inflatable, CustomerFactory(), who=counter)
    assert cover_page(job) == ""


def test_a_repair_without_a_cover_leads_nowhere(job, owner):
    links.withdraw(job.inflatable, who=owner)
    assert cover_page(job) == ""
