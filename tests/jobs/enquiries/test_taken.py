"""How many enquiries are taken, of how many damages, and what they were advised as it was kept."""

import pytest
from django.core.exceptions import ValidationError

from shoprepair.jobs import checkin, expected
from shoprepair.jobs.enquiries import advised, limits
from shoprepair.jobs.enquiries import asked as cleaned
from shoprepair.jobs.enquiries.contact import Contact
from shoprepair.jobs.models import Job, Stage
from tests.enquiries import EnquiryFactory, asked
from tests.factories import JobFactory
from tests.jobs.enquiries.asking import CUT

pytestmark = pytest.mark.django_db


def test_one_address_sends_five_an_hour_and_one_person_is_written_for_thrice_a_day() -> None:
    ilka, brann = Contact(phone="+1 (555) 0134", email=""), Contact(phone="", email="Brann@soll.example")
    assert (ilka.key, brann.key) == ("15550134", "brann@soll.example")
    assert [limits.may_send(f"192.0.2.{n}", ilka) for n in range(4)] == [True, True, True, False]
    others = [Contact(phone=f"+1 555 02{n}", email="") for n in range(6)]
    assert [limits.may_send("192.0.2.99", other) for other in others] == [True] * 5 + [False]
    assert [limits.may_send_photos("192.0.2.99") for _ in range(21)] == [True] * 20 + [False]


def test_a_form_of_more_damages_than_a_shop_reads_is_refused() -> None:
    assert cleaned.damages([CUT] * cleaned.MOST_DAMAGES)
    with pytest.raises(ValidationError, match="damages at most"):
        cleaned.damages([CUT] * (cleaned.MOST_DAMAGES + 1))


def test_of_what_was_advised_the_strictest_counts_and_what_nobody_knows_any_more_is_left_out() -> None:
    kept = [
        {"number": 1, "verdict": "bring-in"},
        {"number": 2, "verdict": "from-an-older-shop"},
        {"number": "3", "verdict": "bring-in"},
        "no row",
    ]
    enquiry = EnquiryFactory.build(job=None, advice=kept)
    assert {number: said.code for number, said in advised.verdicts(enquiry).items()} == {1: "bring-in"}
    assert advised.strictest(enquiry).code == "bring-in"
    assert advised.strictest(EnquiryFactory.build(job=None, advice=None)) is None


def test_gear_is_on_its_way_until_it_comes() -> None:
    job = asked()
    assert expected.is_away(job)
    assert checkin.under_way(job.inflatable) is None
    Job.objects.filter(pk=job.pk).update(stage=Stage.CHECKED_IN)
    job.refresh_from_db()
    assert not expected.is_away(job)
    assert checkin.under_way(job.inflatable) == job
    assert not expected.is_away(JobFactory()), "somebody came to the counter"
