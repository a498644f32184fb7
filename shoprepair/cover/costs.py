"""What claims that were ours have cost, counted against the first repair, its operation, techs and lots."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from shoprepair.cover.models import Claim, Cover
from shoprepair.pricing.models import Quote, QuoteLine

BY = ("operation", "tech", "lot", "cloth")
NOUGHT = Decimal("0.00")
CENT = Decimal("0.01")
_COLUMN = {"operation": "operation_name", "tech": "techs", "lot": "lots", "cloth": "cloth"}


@dataclass(frozen=True, slots=True)
class Row:
    """One operation, tech, lot or cloth: its covers, the claims held against them, and their cost."""

    name: str
    covers: int
    claims: int
    ours: int
    cost: Decimal

    @property
    def share(self) -> float:
        """Claims that were ours over covers."""
        return self.ours / self.covers


def of(claim: Claim) -> Decimal:
    """What mending it at nought costs the shop, as the lines agreed for it were reckoned; nought else."""
    return of_each([claim])[claim.pk]


def of_each(claims: Iterable[Claim]) -> dict[int, Decimal]:
    """The same of several claims by their ids, in as many statements as for one.

    A line that serves the damages of several claims, such as an opening, is shared by them to the cent.
    """
    found = dict.fromkeys((claim.pk for claim in claims), NOUGHT)
    ours = Claim.objects.filter(decision=Claim.Decision.OURS).exclude(remedy=None)
    remedies = set(ours.filter(pk__in=list(found)).values_list("remedy_id", flat=True))
    mended: dict[int, dict[int, int]] = defaultdict(dict)
    for pk, remedy, number in ours.filter(remedy__in=remedies).values_list(
        "pk", "remedy_id", "damage__number"
    ):
        mended[remedy][number] = pk
    for job, line in _lines(remedies):
        served = [mended[job][n] for n in sorted(mended[job]) if not line.damages or n in line.damages]
        for pk, share in zip(served, shares(line.cost, len(served)), strict=True):
            if pk in found:
                found[pk] += share
    return found


def shares(cost: Decimal, among: int) -> list[Decimal]:
    """A cost in so many parts that add up to it, no two more than a cent apart."""
    if not among:
        return []
    cents = int(cost / CENT)
    return [CENT * (cents // among + (place < cents % among)) for place in range(among)]


def by(what: str) -> list[Row]:
    """A row for each name of `what`: "operation", "tech", "lot" or "cloth", the dearest first.

    A repair by two techs, or of two lots, counts in full for each: what failed may have been either.
    """
    column = _COLUMN[what]
    claims = Claim.objects.values_list("pk", "decision", f"cover__{column}")
    cost = of_each(Claim.objects.filter(decision=Claim.Decision.OURS).only("pk"))
    held: dict[str, list[tuple[int, str]]] = defaultdict(list)
    for pk, decision, value in claims:
        for name in _names(value):
            held[name].append((pk, decision))
    covers: dict[str, int] = defaultdict(int)
    for value in Cover.objects.values_list(column, flat=True).order_by().iterator():
        for name in _names(value):
            covers[name] += 1
    rows = [_row(name, count, held[name], cost) for name, count in covers.items()]
    return sorted(rows, key=lambda row: (-row.cost, -row.ours, -row.claims, row.name))


def _row(name: str, covers: int, held: Sequence[tuple[int, str]], cost: dict[int, Decimal]) -> Row:
    ours = [pk for pk, decision in held if decision == Claim.Decision.OURS]
    return Row(name, covers, len(held), len(ours), sum((cost.get(pk, NOUGHT) for pk in ours), NOUGHT))


def _names(value: Any) -> list[str]:
    """The names in a column: one, a list of them, or none."""
    return list(dict.fromkeys(value)) if isinstance(value, list) else [value] if value else []


def _lines(remedies: Iterable[int]) -> Iterator[tuple[int, QuoteLine]]:
    """Every line that was agreed at nought on these jobs."""
    quotes = Quote.objects.filter(job__in=remedies, state=Quote.State.ACCEPTED, warranty=True)
    for quote in quotes.prefetch_related("lines").order_by("pk"):
        taken = {line["id"] for line in quote.agreed.get("lines", []) if line["taken"]}
        yield from ((quote.job_id, line) for line in quote.lines.all() if line.pk in taken)
