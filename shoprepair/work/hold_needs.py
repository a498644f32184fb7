"""Which tubes of a job must be hold tested before it is ready, and how they stand."""

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.db.models import Max

from shoprepair.gear.describe import is_linked
from shoprepair.gear.models import Pattern
from shoprepair.jobs.models import Damage, Job
from shoprepair.pricing.models import Operation, QuoteLine
from shoprepair.pricing.quotes import finding
from shoprepair.pricing.tubes import LEADING_EDGE, key_of
from shoprepair.work.hold_tubes import ALL, label, tubes
from shoprepair.work.models import HoldTest, Step

Verdict = HoldTest.Verdict


@dataclass(frozen=True, slots=True)
class Standing:
    """How one tube stands that must be tested."""

    key: str
    label: str
    test: HoldTest | None
    """The latest since the last step was done; None where there is none."""

    @property
    def holds(self) -> bool:
        return self.test is not None and self.test.verdict == Verdict.HOLDS

    @property
    def is_open(self) -> bool:
        return self.test is not None and self.test.verdict == Verdict.OPEN

    @property
    def fails(self) -> bool:
        return self.test is not None and self.test.verdict == Verdict.FAILS


def needed(job: Job) -> list[str]:
    """Keys of the tubes that need a test, by the repairs agreed and the bladders drawn; in their order.

    Where the tubes share their air, one test of all of them.
    """
    pattern = job.inflatable.pattern
    found = {key for line in agreed_lines(job) if _asks(line) for key in _tubes_of(line, pattern)}
    found |= _drawn(job)
    if not found:
        return []
    return [ALL] if is_linked(pattern) else [key for key in tubes(pattern) if key in found]


def passed(job: Job) -> bool:
    """Whether every tube that needs it has held since the last step was done."""
    return all(each.holds for each in standing(job))


def standing(job: Job) -> list[Standing]:
    """Every tube that needs a test, with the test that counts."""
    since = last_step_done(job)
    latest: dict[str, HoldTest] = {}
    for test in job.hold_tests.exclude(verdict=Verdict.STOPPED).order_by("id"):
        if since is None or test.began_at >= since:
            latest[test.tube_key] = test
    pattern = job.inflatable.pattern
    return [Standing(key, label(pattern, key), latest.get(key)) for key in needed(job)]


def last_step_done(job: Job) -> datetime.datetime | None:
    """When somebody last did a step: what was tested or looked at before that says nothing any more."""
    last: datetime.datetime | None = job.steps.filter(state=Step.State.DONE).aggregate(at=Max("done_at"))[
        "at"
    ]
    return last


def agreed_lines(job: Job) -> Sequence[QuoteLine]:
    """The lines that the customer took of every agreement in force."""
    return finding.taken_lines(job)


def _asks(line: QuoteLine) -> bool:
    if line.repair is not None:
        return bool(line.repair.operation.needs_hold_test)
    return bool(line.operation_code) and _operation_asks(line.operation_code)


def _operation_asks(code: str) -> bool:
    return Operation.objects.filter(code=code, needs_hold_test=True).exists()


def _tubes_of(line: QuoteLine, pattern: Pattern) -> Iterator[str]:
    """Of the damages it mends; a test of nothing in particular is one of the leading edge."""
    damages = [line.repair.damage] if line.repair else _damages(line)
    yield from {key_of(damage) or LEADING_EDGE for damage in damages} or {tubes(pattern)[0]}


def _damages(line: QuoteLine) -> list[Damage]:
    return list(Damage.objects.filter(job=line.quote.job_id, number__in=line.damages))


def _drawn(job: Job) -> set[str]:
    """Tubes whose bladder was out, for whatever reason."""
    drawn = job.steps.filter(kind=Step.Kind.REFIT, state=Step.State.DONE).values_list("opening", flat=True)
    return {opening["tube"] for opening in drawn if "tube" in opening}
