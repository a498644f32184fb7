"""What the customer agreed to, as work: the lines they took, with the repair or the operation behind each."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from decimal import Decimal

from django.utils.text import slugify

from shoprepair.jobs.models import Job
from shoprepair.pricing import estimate, rules
from shoprepair.pricing.models import Operation, QuoteLine, Repair
from shoprepair.pricing.quotes import finding

HOLD_TEST = "hold-test"
"""Has a stage of its own, after the bench."""
_AT_THE_BENCH = (QuoteLine.Kind.REPAIR, QuoteLine.Kind.EXTRA)


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """One agreed piece of bench work."""

    key: str
    """The same for the same work, whichever quote it was agreed in."""
    name: str
    minutes: Decimal
    damages: tuple[int, ...] = ()
    operation: Operation | None = None
    repair: Repair | None = field(default=None, compare=False)

    @property
    def urgency(self) -> int:
        """0 to 100, of the damage it mends."""
        return self.repair.damage.urgency if self.repair else 0

    @property
    def is_care(self) -> bool:
        """Cleaning or a check of the whole."""
        return self.operation is not None and self.operation.area == Operation.Area.CARE

    @property
    def wets(self) -> bool:
        """Whether the gear must dry after it before anything sticks."""
        return self.is_care and self.operation is not None and self.operation.drying_hours > 0


def taken(job: Job) -> list[Taken]:
    """All bench work of the agreements in force, each once, in the order in which it was agreed."""
    lines = [line for line in finding.taken_lines(job) if line.kind in _AT_THE_BENCH]
    return list({work.key: work for work in _works(lines)}.values())


def _works(lines: Iterable[QuoteLine]) -> Iterator[Taken]:
    lines = list(lines)
    codes = {line.operation_code for line in lines if line.repair is None}
    by_code = {each.code: each for each in Operation.objects.filter(code__in=codes)} if codes else {}
    seen: Counter[str] = Counter()
    for line in lines:
        operation = line.repair.operation if line.repair else by_code.get(line.operation_code)
        if operation is not None and operation.code == HOLD_TEST:
            continue
        name = slugify(line.text)[:50]
        seen[name] += 1
        yield Taken(
            key=f"r{line.repair.pk}" if line.repair else f"x-{name}-{seen[name]}",
            name=line.text,
            minutes=_minutes(line),
            damages=tuple(line.damages),
            operation=operation,
            repair=line.repair,
        )


def _minutes(line: QuoteLine) -> Decimal:
    """Without the opening of its own that a repair not advised counts in its line: openings have steps."""
    agreed: Decimal = line.minutes
    if line.repair is None or line.by_hand or line.repair.preferred:
        return agreed
    return estimate.line_for(line.repair, rules.current()).minutes
