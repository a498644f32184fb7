"""A creating form whose key is not ours is refused; nothing is made, and nothing breaks."""

import pytest
from django.urls import reverse

from shoprepair.jobs.models import Customer, Damage, Job, Photo
from tests.factories import DamageFactory

pytestmark = pytest.mark.django_db


def made():
    return [model.objects.count() for model in (Customer, Job, Damage, Photo)]


@pytest.mark.parametrize("key", ["x" * 65, "a\x00b", "ключ", "a\nb"], ids=["long", "nul", "letters", "lines"])
@pytest.mark.parametrize(
    ("page", "status"),
    [("check-in-start", 400), ("check-in-customer", 400), ("check-in-gear", 422), ("job-check-in", 400)],
)
def test_a_key_that_is_not_ours_is_refused_everywhere(as_person, counter, page, status, key):
    job = DamageFactory().job
    addresses = {"check-in-gear": [job.customer_id], "job-check-in": [job.number]}
    before = made()
    answer = as_person(counter).post(
        reverse(page, args=addresses.get(page, [])),
        {
            "key": key,
            "customer": job.customer_id,
            "inflatable": job.inflatable_id,
            "name": "Somebody New",
            "phone": "555 0101",
            "pattern": job.inflatable.pattern_id,
            "condition": "sound",
            "terms": "on",
        },
    )
    assert answer.status_code == status
    assert status == 400 or "key is not one of ours" in answer.content.decode()
    assert made() == before
