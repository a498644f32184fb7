"""From what speaks for and against to what the program proposes. The owner decides."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from shoprepair.cover.evidence import Evidence
from shoprepair.cover.meeting import Meeting
from shoprepair.mechanics.description import Sentence


@dataclass(frozen=True, kw_only=True, slots=True)
class Held:
    """A damage held against one cover."""

    cover: int
    """Its number."""
    meeting: Meeting
    evidence: tuple[Evidence, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Proposal:
    kind: Literal["ours", "owner", "new"]
    reasons: tuple[Sentence, ...]
    """The deciding one first."""
    cover: int | None
    """Number of the cover that decides; None where the gear has none that is near."""


def propose(held: Sequence[Held]) -> Proposal:
    """What the rules say of a damage held against its gear's covers."""
    raise NotImplementedError
