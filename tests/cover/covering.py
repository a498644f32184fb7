"""Visits that end in covers: a real repair, worked from a real lot, tested, and handed back."""

import datetime
import io
from decimal import Decimal

from django.utils import timezone
from PIL import Image

from shoprepair.cover.models import Cover
from shoprepair.gear.models import Inflatable
from shoprepair.jobs import photos
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Material, Repair
from shoprepair.shop.models import Staff
from shoprepair.work import hold_needs, stock
from shoprepair.work.models import Check, HoldTest, Step
from tests.factories import (
    CustomerFactory,
    DamageFactory,
    InflatableFactory,
    JobFactory,
    OperationFactory,
    OwnershipFactory,
    QuoteFactory,
    QuoteLineFactory,
    StaffFactory,
    accepted,
    handed_back,
)
from tests.pricing.mending import a_job, on_the_edge, stocked
from tests.work.benching import agree

HOLDS = {
    "text": "It lost {share} in {time}, less than is allowed.",
    "values": {"share": {"value": 0.004, "unit": "1"}, "time": {"value": 7200.0, "unit": "s"}},
}


def a_light_visit(inflatable: Inflatable | None = None, **operation: object) -> Job:
    """A cut whose one repair is worked and stands ready; nothing of it is reckoned, so that it is quick."""
    inflatable = inflatable or InflatableFactory()
    job = JobFactory(inflatable=inflatable, stage=Stage.ASSESSED, terms_agreed_at=timezone.now())
    damage = DamageFactory(job=job, number=1)
    repair = Repair.objects.create(damage=damage, operation=OperationFactory(**operation))
    quote = QuoteFactory(job=job)
    QuoteLineFactory(quote=quote, repair=repair, damages=[1], operation_code=repair.operation.code)
    sent = quotes.send(quote, who=StaffFactory(), version=quote.version, base_url="https://loft.example")
    accepted(sent, job)
    job.steps.update(state=Step.State.DONE)
    Job.objects.filter(pk=job.pk).update(stage=Stage.READY)
    job.refresh_from_db()
    return job


def lightly_covered(inflatable: Inflatable | None = None, who: Staff | None = None, **operation: object):
    """The one cover of such a visit, handed back."""
    return handed_back(a_light_visit(inflatable, **operation), who).covers.get()


def owned_wing(name: str = "Ilka Sandvoort") -> Inflatable:
    """A wing of the library in its owner's hands."""
    job = a_job()
    inflatable = job.inflatable
    job.delete()
    OwnershipFactory(inflatable=inflatable, customer=CustomerFactory(name=name))
    return inflatable


def a_visit(inflatable: Inflatable | None = None) -> Job:
    """A wing with a cut near its centre that went through the bladder, brought in by its owner."""
    if inflatable is None:
        stocked()
        inflatable = owned_wing()
    owner = inflatable.ownerships.get(until=None).customer
    job = JobFactory(inflatable=inflatable, customer=owner)
    on_the_edge(job, 0.1, "cut", mm=40, through_bladder="yes")
    return job


def worked(job: Job, tech: Staff | None = None) -> Job:
    """All that is found on a job agreed, photographed, sewn from a lot, tested and looked at: it is ready."""
    tech = tech or StaffFactory(username=f"tech{job.pk}", first_name="Tomek", last_name="Brandal")
    agree(job)
    now = timezone.now()
    job.steps.update(state=Step.State.DONE, done_by=tech, done_at=now - datetime.timedelta(hours=3))
    for step in job.steps.exclude(repair=None).order_by("position"):
        _take(step, tech)
    for damage in job.damages.all():
        photos.keep(job, picture(), damage=damage, who=tech)
    for key in hold_needs.needed(job):
        _holds(job, key, tech)
    looker = StaffFactory(username=f"looker{job.pk}", first_name="Runa", last_name="Selvaag")
    Check.objects.create(job=job, who=looker, at=now, passed=True)
    Job.objects.filter(pk=job.pk).update(stage="ready")
    job.refresh_from_db()
    return job


def covered(inflatable: Inflatable | None = None, who: Staff | None = None) -> list[Cover]:
    """The covers of one such visit."""
    return list(handed_back(worked(a_visit(inflatable)), who).covers.order_by("number"))


def _take(step: Step, tech: Staff) -> None:
    """Something from a lot of every material that the step's repair takes, the first time it is asked."""
    for material, _ in stock.for_step(step):
        lot = material.lots.first() or _lot(material, tech)
        if not lot.uses.filter(repair=step.repair).exists():
            stock.use(lot, Decimal("0.010"), job=step.job, step=step, who=tech)


def _lot(material: Material, who: Staff):
    today = timezone.localdate()
    return stock.receive(
        material, f"R{material.pk}-1", Decimal(40), received_on=today, expires_on=None, who=who
    )


def _holds(job: Job, key: str, who: Staff) -> None:
    now = timezone.now()
    HoldTest.objects.create(
        job=job,
        tube_key=key,
        pressure_pa=50_000,
        pressure_typed="0.5 bar",
        volume_m3=0.1,
        radius_m=0.1,
        verdict=HoldTest.Verdict.HOLDS,
        judged={"reason": HOLDS},
        began_by=who,
        began_at=now - datetime.timedelta(hours=2),
        decided_by=who,
        decided_at=now,
    )


def picture() -> io.BytesIO:
    """A small photo."""
    file = io.BytesIO()
    Image.new("RGB", (60, 40), (180, 60, 40)).save(file, "JPEG")
    file.seek(0)
    return file
