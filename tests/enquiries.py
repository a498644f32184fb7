"""Enquiries for tests, written as rows: quicker than by the form. Every name is invented."""

import factory
from django.utils import timezone

from shoprepair.gear.models import Pattern
from shoprepair.jobs import assessment, damages
from shoprepair.jobs.models import Customer, Damage, Enquiry, Job
from shoprepair.jobs.search import index
from tests.factories import CustomerFactory, InflatableFactory, JobFactory, OwnershipFactory, PatternFactory

TOLD = {
    "words": "Cut, up to 25 mm, front tube near the centre; fold not tried; at home.",
    "length_m": 0.025,
    "at": "front-centre",
    "look": "cut",
    "length": "coin",
    "fold": "untried",
    "softens": "",
    "far": "home",
    "code": "wing.medium.front-centre.cut.coin.untried..home",
    "verdict": "bring-in",
}
"""A damage as a visitor tells it."""
ADVISED = {"verdict": "bring-in", "rule": "casing-cut-centre", "length_m": 0.025, "runs_at_m": 0.03}


class EnquiryFactory(factory.django.DjangoModelFactory):
    """Sent just now, about gear that its sender brings by hand."""

    class Meta:
        model = Enquiry

    job = factory.SubFactory(JobFactory)
    key = factory.Sequence(lambda n: f"form-{n}")
    sent_at = factory.LazyFunction(timezone.now)


def everyday_wing() -> Pattern:
    """What stands for a wing of which nobody knows the model."""
    known = Pattern.objects.filter(everyday="wing-medium").first()
    name = "Wing of 3.5 to 5.5 m², model not known"
    return known or PatternFactory(name=name, everyday="wing-medium", assumed=["everything"])


def asked(
    name: str = "Ilka Sandvoort",
    *,
    phone: str = "",
    email: str = "",
    pattern: Pattern | None = None,
    cuts: int = 1,
    comes: str = "by-hand",
    words: str = "",
) -> Job:
    """The job of an enquiry by somebody new, with cuts of 25 mm in the leading edge, right of the centre."""
    customer: Customer = CustomerFactory(name=name, phone=phone, email=email)
    inflatable = InflatableFactory(pattern=pattern or everyday_wing(), serial="")
    OwnershipFactory(customer=customer, inflatable=inflatable)
    job: Job = JobFactory(customer=customer, inflatable=inflatable)
    pinned = [_cut(job, number) for number in range(1, cuts + 1)]
    told = [{"number": damage.number, **damage.told} for damage in pinned]
    advice = [{"number": damage.number, **ADVISED} for damage in pinned]
    index(customer)
    EnquiryFactory(job=job, told=told, advice=advice, comes=comes, words=words)
    assessment.assess_job(job)
    return job


def _cut(job: Job, number: int) -> Damage:
    damage = damages.pin(job, 0.15 * number, 0.02, who=None)
    damage.told = TOLD
    damage.kind, damage.length_m, damage.length_typed = "cut", 0.025, "25 mm"
    assessment.assess_damage(damage)
    damage.save()
    return damage
