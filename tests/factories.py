"""Records for tests, each as small as its rules allow. Every name is invented."""

import datetime
from decimal import Decimal

import factory
from django.db import transaction
from django.utils import timezone

from shoprepair.gear.library import write_parts
from shoprepair.gear.models import Cloth, Inflatable, Pattern
from shoprepair.jobs.models import Customer, Damage, Job, Ownership
from shoprepair.mechanics.description import Element, FindingKind
from shoprepair.pricing import answers, quotes, totals
from shoprepair.pricing.models import Operation, Quote, QuoteLine
from shoprepair.shop.models import Staff
from shoprepair.shop.numbers import next_number
from shoprepair.shop.units import Typed
from shoprepair.work import hand_back, hold_tests, hold_tubes, invoices, payments
from shoprepair.work.models import HandBack, HoldTest

PASSWORD = "a tube wants air"


class StaffFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Staff
        skip_postgeneration_save = True

    username = factory.Sequence(lambda n: f"staff{n}")
    role = Staff.Role.COUNTER
    password = factory.django.Password(PASSWORD)


class ClothFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Cloth
        django_get_or_create = ("name",)

    name = "polyester casing cloth, 170 g/m²"
    use = Cloth.Use.CASING
    weight_g_per_m2 = 170
    strength_warp_n_per_m = 50_000
    strength_weft_n_per_m = 45_000
    yarns_warp_per_m = 1800
    yarns_weft_per_m = 1800
    stiffness_n_per_m = 250_000
    measured = False
    source = "invented for tests"


class CanopyClothFactory(ClothFactory):
    name = "ripstop canopy cloth, 52 g/m²"
    use = Cloth.Use.CANOPY
    weight_g_per_m2 = 52
    strength_warp_n_per_m = 11_000
    strength_weft_n_per_m = 10_000
    yarns_warp_per_m = 4000
    yarns_weft_per_m = 4000
    stiffness_n_per_m = 80_000


class PatternFactory(factory.django.DjangoModelFactory):
    """A held wing of 5 m² with three struts and a window beside the centre."""

    class Meta:
        model = Pattern
        skip_postgeneration_save = True

    name = factory.Sequence(lambda n: f"Petrel {n}")
    kind = "wing"
    support = Pattern.Support.HANDLES
    area_m2 = 5.0
    span_m = 3.5
    chord_centre_m = 1.85
    chord_tip_m = 0.55
    sweep_m = 0.75
    rated_pressure_pa = 50_000
    rated_pressure_typed = "0.5 bar"
    segments = 6
    canopy_seams = [0.4, 0.75]
    handle_shares = [[0.15, 0.4], [0.5, 0.7]]
    casing = factory.SubFactory(ClothFactory)
    canopy = factory.SubFactory(CanopyClothFactory)

    @factory.post_generation
    def parts(pattern, create, extracted):  # noqa: N805
        if create:
            write_parts(pattern, extracted or _parts(pattern))


def _parts(pattern: Pattern) -> dict:
    fat, thin = (0.24, 0.12) if pattern.support != Pattern.Support.BRIDLED else (0.14, 0.06)
    return {
        "canopy_seams": pattern.canopy_seams,
        "windows": [[0, 1]],
        "valves": [{"kind": "inflation", "station": -0.1, "strut_share": None}],
        "leading_edge": {"diameter_root_m": fat, "diameter_tip_m": thin},
        "struts": [
            {"station": 0, "diameter_root_m": fat * 0.6, "diameter_tip_m": fat * 0.4},
            {"station": 0.5, "diameter_root_m": fat * 0.4, "diameter_tip_m": fat * 0.3},
        ],
    }


class KiteFactory(PatternFactory):
    """A bridled kite of 9 m²."""

    name = factory.Sequence(lambda n: f"Curlew {n}")
    kind = "kite"
    support = Pattern.Support.BRIDLED
    area_m2 = 9.0
    span_m = 5.2
    chord_centre_m = 1.9
    chord_tip_m = 0.6
    sweep_m = 1.3
    handle_shares = []
    bridle_stations = [0.25, 0.5, 0.75]


class InflatableFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Inflatable

    pattern = factory.SubFactory(PatternFactory)
    # Six digits: a test gives five by hand, and may run after any number of others.
    serial = factory.Sequence(lambda n: f"PT-{n:06d}")


class CustomerFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Customer

    name = factory.Sequence(lambda n: f"Ilka Sandvoort {n}")
    phone = factory.Sequence(lambda n: f"+1 555 01{n:05d}")


class OwnershipFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Ownership

    customer = factory.SubFactory(CustomerFactory)
    inflatable = factory.SubFactory(InflatableFactory)


class JobFactory(factory.django.DjangoModelFactory):
    """An open enquiry with nothing pinned. Counts in the shop's own series of numbers."""

    class Meta:
        model = Job

    number = factory.LazyFunction(transaction.atomic(lambda: next_number("job")))
    customer = factory.SubFactory(CustomerFactory)
    inflatable = factory.SubFactory(InflatableFactory)
    received_at = factory.LazyFunction(timezone.now)
    promised_on = factory.LazyFunction(lambda: timezone.localdate() + datetime.timedelta(days=10))


class DamageFactory(factory.django.DjangoModelFactory):
    """A described cut in the leading edge. Its figures are those given, not computed."""

    class Meta:
        model = Damage

    job = factory.SubFactory(JobFactory)
    number = factory.Sequence(lambda n: n + 1)
    x_m = 0.4
    y_m = 0.03
    element = Element.LEADING_EDGE.value
    station = 0.23
    side = "right"
    kind = FindingKind.CUT.value
    length_m = 0.035
    length_typed = "35 mm"


class OperationFactory(factory.django.DjangoModelFactory):
    """Invented: fifteen minutes to set up, and nothing by length or area."""

    class Meta:
        model = Operation

    code = factory.Sequence(lambda n: f"casing-patch-{n}")
    name = "Casing patch"
    area = Operation.Area.CASING
    steps = factory.List(["Cut the patch.", "Sew it on."])
    set_up_minutes = Decimal(15)
    cover_terms = "The patch holds as long as the gear."


class QuoteFactory(factory.django.DjangoModelFactory):
    """An empty draft with 10 % tax, and neither discount, minimum charge nor deposit."""

    class Meta:
        model = Quote

    job = factory.SubFactory(JobFactory)
    number = factory.LazyAttribute(lambda quote: quote.job.quotes.count() + 1)
    currency = "USD"
    tax_name = "Tax"
    tax_percent = Decimal("10.00")
    rounding = Decimal("0.01")
    valid_until = factory.LazyFunction(lambda: timezone.localdate() + datetime.timedelta(days=14))
    terms = "Fetched within 30 days."


class QuoteLineFactory(factory.django.DjangoModelFactory):
    """A patch for 100, which costs the shop 60 and takes 50 minutes."""

    class Meta:
        model = QuoteLine

    quote = factory.SubFactory(QuoteFactory)
    position = factory.LazyAttribute(lambda line: line.quote.lines.count() + 1)
    kind = QuoteLine.Kind.REPAIR
    text = "Casing patch"
    amount = Decimal("100.00")
    cost = Decimal("60.00")
    minutes = Decimal(50)


def quoted(job: Job, who: Staff | None = None, **facts: object) -> Quote:
    """A quote with one line, sent out for an assessed job, which goes to "Quote out"."""
    quote = QuoteFactory(job=job, **facts)
    QuoteLineFactory(quote=quote)
    sent = quotes.send(
        quote, who=who or StaffFactory(), version=quote.version, base_url="https://loft.example"
    )
    job.refresh_from_db()
    return sent


def agreed(job: Job, who: Staff | None = None, **facts: object) -> Quote:
    """The same quote accepted by the customer: the job goes on to "Go-ahead"."""
    return accepted(quoted(job, who, **facts), job)


def accepted(quote: Quote, job: Job | None = None, *, name: str = "Ilka Sandvoort") -> Quote:
    """A quote that is out, accepted as the shop advises it."""
    taken = {line.pk for line in quote.lines.all() if line.taken}
    answered = answers.answer(
        quote,
        name=name,
        accepted=True,
        taken=taken,
        total_shown=totals.of(quote, taken).total,
        version=quote.version,
    )
    if job:
        job.refresh_from_db()
    return answered


SIGNED = [[[0.1, 0.5], [0.3, 0.2], [0.5, 0.7], [0.8, 0.4]]]
"""A signature as a tablet draws it."""


def ready(job: Job, who: Staff | None = None, **facts: object) -> Job:
    """A job agreed for $110.00 and worked, which stands ready to be fetched and is not paid."""
    agreed(job, who, **facts)
    job.steps.update(state="done")
    Job.objects.filter(pk=job.pk).update(stage="ready")
    job.refresh_from_db()
    return job


def handed_back(job: Job, who: Staff | None = None) -> HandBack:
    """A job that is ready, paid in cash where anything is due, and given to its customer who signs."""
    who = who or StaffFactory()
    if due := invoices.owed(job).due:
        payments.take(job, due, "cash", who=who)
    return hand_back.give(job, job.customer.name, "the tag", SIGNED, who=who)


def held(job: Job, who: Staff | None = None) -> list[HoldTest]:
    """Every tube of a job at the hold test that needs it, tested for two hours and found to hold."""
    who = who or StaffFactory()
    return [_held(job, key, who) for key in hold_tests.needed(job)]


def _held(job: Job, key: str, who: Staff) -> HoldTest:
    now = timezone.now()
    pascal = hold_tubes.proposed_pa(job)
    test = hold_tests.begin(job, key, Typed(pascal, f"{pascal / 1e5:.3f} bar"), who=who, owner_ok=True)
    for share, minutes in ((1, 120), (0.999, 0)):
        figure = Typed(pascal * share, f"{pascal * share / 1e5:.3f} bar")
        at = now - datetime.timedelta(minutes=minutes)
        hold_tests.read(test, figure, Typed(293.15, "20 °C"), at, who=who)
    hold_tests.decide(test, True, who=who)
    return test
