"""What an addition to an agreed quote holds: only what is new, and no more than the extra opening time."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from django.db.models import Exists, OuterRef, Q, QuerySet
from django.utils.translation import gettext

from shoprepair.jobs.models import Job, Stage
from shoprepair.jobs.reading import live_damages
from shoprepair.pricing import access, costing, estimate
from shoprepair.pricing.access import numbered
from shoprepair.pricing.access.plan import TubePlan
from shoprepair.pricing.lines import Line
from shoprepair.pricing.models import Operation, PriceRules, Quote, QuoteLine, Repair
from shoprepair.pricing.money import CENT, rounded, say
from shoprepair.pricing.proposals.propose import names_of_job, repairs_of_job
from shoprepair.pricing.quotes import finding
from shoprepair.pricing.tubes import key_of
from shoprepair.shop.units import Units, say_length

State = Quote.State
IN_WORK = (Stage.BENCH, Stage.HOLD_TEST, Stage.READY)
"""Where what was agreed is not written anew when more is found: it is added to."""
CLOSED_UP = (Stage.HOLD_TEST, Stage.READY)
"""Where every tube is sewn up again, so that no opening is left to be shared."""


@dataclass(slots=True)
class _Answered:
    """What the customer has said yes or no to already."""

    repairs: set[int] = field(default_factory=set)
    damages: set[int] = field(default_factory=set)
    taken: list[QuoteLine] = field(default_factory=list)

    @property
    def agreed(self) -> list[Repair]:
        return [line.repair for line in self.taken if line.repair]

    @property
    def choices(self) -> set[str]:
        """The choices that are made: no alternative to what was taken is offered again."""
        return {line.choice for line in self.taken if line.choice}

    @property
    def codes(self) -> set[str]:
        return {line.operation_code for line in self.taken}

    @property
    def renewed(self) -> set[str]:
        """The tubes that get a new bladder anyway."""
        new = (one for one in self.agreed if one.operation.code.startswith("bladder-replace"))
        return {key for one in new if (key := key_of(one.damage))}


def base_of(job: Job) -> Quote | None:
    """The agreed quote that a new draft adds to: in work, where something is in no answered quote."""
    agreed = finding.agreed(job) if job.stage in IN_WORK else None
    return agreed if agreed and not_quoted(job) else None


def read_with(jobs: QuerySet[Job]) -> QuerySet[Job]:
    """Read with each job whether it has a repair that the customer neither agreed to nor is asked about, for
    pages: where it has none, `not_asked` reads no repairs."""
    asked = Q(quote__state=State.ACCEPTED) | Q(quote__state=State.OUT, quote__addition_to__isnull=False)
    more = Repair.objects.filter(damage__job=OuterRef("pk"), damage__removed_at=None, left_out=False)
    lines = QuoteLine.objects.filter(asked, repair=OuterRef("pk"))
    return jobs.annotate(has_unasked=Exists(more.exclude(Exists(lines))))


def not_quoted(job: Job) -> list[int]:
    """Numbers of the damages, or of those with a repair, that the customer has given no answer about.

    What was offered and left out, and what was declined in an addition, has been answered.
    """
    said = _answered(job)
    repaired = {repair.damage.number for repair in _new(names_of_job(job), said)}
    return sorted(repaired.union(_unanswered(job, said)))


def not_asked(job: Job) -> list[int]:
    """Those of them that no addition which is out asks about either."""
    waiting = finding.waiting_addition(job)
    asked = {number for line in finding.lines_of([waiting]) for number in line.damages} if waiting else set()
    has_unasked = vars(job).get("has_unasked", True)
    found = not_quoted(job) if has_unasked else _unanswered(job, _answered(job))
    return sorted(set(found) - asked)


def _unanswered(job: Job, said: _Answered) -> set[int]:
    return {damage.number for damage in live_damages(job)} - said.damages


def declined_damages(job: Job) -> set[int]:
    """Numbers of the damages that the customer declined to have mended when they were found in work."""
    declined = {
        number for line in finding.lines_of(finding.declined_additions(job)) for number in line.damages
    }
    mended = {
        number
        for quote in finding.agreements(job)
        for line in quote.agreed.get("lines", [])
        if line["taken"] and line.get("kind") != QuoteLine.Kind.ACCESS
        for number in line.get("damages", [])
    }
    return declined - mended


def found_inside(job: Job) -> set[int]:
    """Numbers of the damages that were pinned after the customer had agreed to the quote in force."""
    agreed = finding.agreed(job)
    if agreed is None or agreed.answered_at is None:
        return set()
    return {damage.number for damage in live_damages(job) if damage.created_at > agreed.answered_at}


def together(quote: Quote, total: Decimal) -> Decimal | None:
    """An addition's total with all else that is agreed; None where the shop's currency changed between."""
    others = [other for other in finding.agreements(quote.job) if other.pk != quote.pk]
    if any(other.currency != quote.currency for other in others):
        return None
    return sum((agreed_total(other) for other in others), total)


def told_together(quote: Quote, total: Decimal) -> dict[str, str]:
    """The same as a letter about an addition says it; nothing for a quote that adds to none."""
    if quote.addition_to_id is None:
        return {}
    every = together(quote, total)
    return {"together": say(every, quote.currency) if every is not None else ""}


def agreed_total(quote: Quote) -> Decimal:
    """What an accepted quote came to, as it was shown then."""
    return Decimal(quote.agreed["total"])


def lines_for(job: Job, rules: PriceRules) -> list[Line]:
    """The lines of what is new; openings are planned for all, and only the extra time is charged."""
    said = _answered(job)
    new = _new(repairs_of_job(job), said)
    opened = list(_opened_further(job, rules, said.agreed, new))
    return [*estimate.repair_lines(job, rules, new, opened), *opened]


def _answered(job: Job) -> _Answered:
    """Read from what was agreed, and from additions that were declined."""
    quotes = [*finding.agreements(job), *finding.declined_additions(job)]
    taken = {line["id"] for quote in quotes for line in quote.agreed.get("lines", []) if line["taken"]}
    said = _Answered()
    for line in finding.lines_of(quotes):
        said.damages.update(line.damages)
        if line.repair_id:
            said.repairs.add(line.repair_id)
        if line.pk in taken:
            said.taken.append(line)
    return said


def _new(repairs: Sequence[Repair], said: _Answered) -> list[Repair]:
    choices, codes, renewed = said.choices, said.codes, said.renewed
    return [
        repair
        for repair in repairs
        if repair.pk not in said.repairs
        and estimate.choice_of(repair) not in choices
        and not (repair.operation.area == Operation.Area.CARE and repair.operation.code in codes)
        and not (repair.operation.code.startswith("bladder-") and key_of(repair.damage) in renewed)
    ]


def _opened_further(
    job: Job, rules: PriceRules, agreed: Sequence[Repair], new: Sequence[Repair]
) -> Iterator[Line]:
    for repair in agreed:
        repair.preferred = True  # taken: whether it was advised does not matter any more
    before = {one.tube.key: one for one in access.plan(job, rules, agreed).tubes if one.openings}
    if job.stage in CLOSED_UP:
        for opening in access.plan(job, rules, new).openings:
            line = estimate.access_line(opening, rules)
            again = gettext("Closed already, and opened again. ") if opening.tube_key in before else ""
            yield replace(line, detail=f"{again}{line.detail}")
        return
    ids = {repair.pk for repair in new}
    for one in access.plan(job, rules, [*agreed, *new]).tubes:
        yield from _of_tube(one, before.get(one.tube.key), ids, rules)


def _of_tube(after: TubePlan, before: TubePlan | None, new: set[int], rules: PriceRules) -> Iterator[Line]:
    """Lines of one tube: each new opening, or what shared ones take beyond what is agreed."""
    serving = [opening for opening in after.openings if new.intersection(opening.repairs)]
    if before is None or all(new.issuperset(opening.repairs) for opening in serving):
        yield from (estimate.access_line(opening, rules) for opening in serving)
        return
    reached = [each for each in after.reached if any(each.repair_id in one.repairs for one in serving)]
    mine = sorted({each.damage for each in reached if each.repair_id in new})
    others = sorted({each.damage for each in reached if each.repair_id not in new} - set(mine))
    yield _shared(after, before, mine, others or mine, rules)


def _shared(
    after: TubePlan, before: TubePlan, mine: Sequence[int], others: Sequence[int], rules: PriceRules
) -> Line:
    label, agreed = (
        after.tube.label,
        gettext("the opening for %(others)s, which was agreed") % {"others": numbered(others)},
    )
    minutes = max(_minutes(after) - _minutes(before), Decimal(0))
    text = gettext("Opening the %(label)s further for %(mine)s") % {"label": label, "mine": numbered(mine)}
    if minutes:
        longer = say_length(max(_length_m(after) - _length_m(before), 0.0), Units())
        detail = gettext("Shares %(agreed)s: only %(spent)s more, %(longer)s more of closing seam") % {
            "agreed": agreed,
            "spent": estimate.spent(minutes),
            "longer": longer,
        }
    else:
        text, detail = (
            gettext("Reaching %(mine)s in the %(label)s") % {"mine": numbered(mine), "label": label},
            gettext("Through %(agreed)s: nothing more to pay") % {"agreed": agreed},
        )
    return Line(
        kind="access",
        text=text,
        detail=detail,
        operation_code=f"opening {after.tube.key}",
        damages=tuple(mine),
        minutes=minutes,
        cost=rounded(costing.of_time(minutes, rules.hour_cost), CENT),
        amount=rounded(costing.of_time(minutes, rules.hourly_rate), CENT),
    )


def _minutes(planned: TubePlan) -> Decimal:
    return sum((opening.minutes for opening in planned.openings), Decimal(0))


def _length_m(planned: TubePlan) -> float:
    return sum(opening.length_m for opening in planned.openings)
