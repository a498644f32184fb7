"""A job with a cut that is checked in, its sheet, and a step taken on it."""

from django.urls import reverse

from shoprepair.jobs import checkin, damages
from shoprepair.jobs.models import Damage, Job
from shoprepair.shop.units import Typed
from tests.factories import (
    CustomerFactory,
    InflatableFactory,
    PatternFactory,
)


def a_cut(counter) -> Damage:
    """A cut of 35 mm around the leading edge of a wing that is checked in."""
    customer = CustomerFactory(name="Oda Tveit", phone="+1 555 0134")
    made = checkin.start(customer, InflatableFactory(pattern=PatternFactory(name="Petrel 5.0")), who=counter)
    damage = damages.pin(made, 0.4, 0.03, who=counter)
    damages.answer(damage, who=counter, kind="cut", length=Typed(0.035, "35 mm"), direction="around")
    checkin.note_arrival(made, who=counter, came_with=["bag", "leash"], note="Wants it by Friday.")
    made.terms = "Ninety days."
    checkin.agree_terms(made, who=counter)
    checkin.finish(made, who=counter)
    damage.refresh_from_db()
    return damage


def sheet(client, job: Job, **query) -> str:
    return client.get(job.get_absolute_url(), query).content.decode()


def take(client, job: Job, to: str, **more):
    return client.post(reverse("job-stage", args=[job.number]), {"to": to, **more})
