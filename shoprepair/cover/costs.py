"""What claims that were ours have cost, counted against the first repair, its operation, techs and lots."""

from dataclasses import dataclass
from decimal import Decimal

from shoprepair.cover.models import Claim

BY = ("operation", "tech", "lot", "cloth")


@dataclass(frozen=True, slots=True)
class Row:
    """One operation, tech, lot or cloth: its covers, the claims held against them, and their cost."""

    name: str
    covers: int
    claims: int
    ours: int
    cost: Decimal


def of(claim: Claim) -> Decimal:
    """What the remedy costs the shop: the cost of its agreed lines."""
    raise NotImplementedError


def by(what: str) -> list[Row]:
    """A row for each name of `what`: "operation", "tech", "lot" or "cloth", the dearest first."""
    raise NotImplementedError
