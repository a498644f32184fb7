"""From what speaks for and against to what the program proposes. The owner decides.

The rules stand in one table, `RULES`: of each cover the first that holds decides. Of a damage held against
several covers the one that is ours decides, else the one that the owner has to look at, else the nearest.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

from django.utils.translation import gettext

from shoprepair.cover.evidence import Evidence
from shoprepair.cover.meeting import Meeting
from shoprepair.mechanics.description import Sentence
from shoprepair.shop.languages import gettext_lazy

Kind = Literal["ours", "owner", "new"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Held:
    """A damage held against one cover."""

    cover: int
    """Its number."""
    meeting: Meeting
    evidence: tuple[Evidence, ...]

    def says(self, key: str, speaks: str = "") -> bool:
        """Whether there is evidence of this name, and whether it speaks that way."""
        return any(each.key == key and speaks in ("", each.speaks) for each in self.evidence)

    @property
    def meets(self) -> bool:
        return self.meeting.relation == "meets"

    @property
    def borders(self) -> bool:
        return self.meeting.relation == "borders"


@dataclass(frozen=True, kw_only=True, slots=True)
class Proposal:
    kind: Kind
    reasons: tuple[Sentence, ...]
    """The deciding one first."""
    cover: int | None
    """Number of the cover that decides; None where the gear has none."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Rule:
    holds: Callable[[Held], bool]
    kind: Kind
    reason: str


RULES = (
    Rule(
        holds=lambda held: held.says("replaced") or held.says("terms-over"),
        kind="new",
        reason=gettext_lazy("The cover of the repair no longer stands."),
    ),
    Rule(
        holds=lambda held: held.says("mirror-after-burst"),
        kind="owner",
        reason=gettext_lazy(
            "After a burst its mirror place is the next to go, and was to be looked at: "
            "whether that was done, the owner knows."
        ),
    ),
    Rule(
        holds=lambda held: held.meeting.relation == "misses" or held.says("another-part"),
        kind="new",
        reason=gettext_lazy("It lies outside everything that was repaired."),
    ),
    Rule(
        holds=lambda held: held.says("kind-unknown"),
        kind="owner",
        reason=gettext_lazy("What it is has still to be said: look at it, and answer that first."),
    ),
    Rule(
        holds=lambda held: held.says("nothing-gave-way"),
        kind="new",
        reason=gettext_lazy("A cover promises that the repair holds, and nothing gave way."),
    ),
    Rule(
        holds=lambda held: held.says("other-layer"),
        kind="new",
        reason=gettext_lazy("It is in the same place, but not in what was repaired."),
    ),
    Rule(
        holds=lambda held: held.says("cut-through") and held.meets and held.says("stitch-row"),
        kind="owner",
        reason=gettext_lazy(
            "It is called a cut, yet runs along our stitches: a tear along needle holes looks like one."
        ),
    ),
    Rule(
        holds=lambda held: held.says("cut-through"),
        kind="new",
        reason=gettext_lazy("It was made from outside: sound cloth would have been hurt by it too."),
    ),
    Rule(
        holds=lambda held: held.says("over-pressure", "against"),
        kind="owner",
        reason=gettext_lazy("The repair is touched, but it was pumped beyond what the gear is made for."),
    ),
    Rule(
        holds=lambda held: held.borders and held.says("maker-seam"),
        kind="new",
        reason=gettext_lazy("It is the maker's own seam beside the repair."),
    ),
    Rule(
        holds=lambda held: held.says("face-unknown"),
        kind="owner",
        reason=gettext_lazy(
            "It touches the repair only if it lies on that side of the tube: look, and say which side."
        ),
    ),
    Rule(
        holds=lambda held: held.meets and (held.says("inside", "for") or held.says("stitch-row")),
        kind="ours",
        reason=gettext_lazy("What gave way is the repair itself."),
    ),
    Rule(
        holds=lambda held: held.meets and (held.says("load", "for") or held.says("short")),
        kind="ours",
        reason=gettext_lazy("It reaches into a repair that was weaker than its place asks for."),
    ),
    Rule(
        holds=lambda held: held.meets,
        kind="owner",
        reason=gettext_lazy(
            "It reaches into the repair, and most of it lies beyond: where it began, only a look tells."
        ),
    ),
    Rule(
        holds=lambda held: held.borders,
        kind="owner",
        reason=gettext_lazy("It begins beside the repair: a stiff edge can start it, and so can much else."),
    ),
)
"""Common practice, no source. The first that holds decides."""

_BACKED_BY: dict[Kind, tuple[str, ...]] = {
    "ours": ("for",),
    "owner": ("for", "against", "neither"),
    "new": ("against",),
}
_WEIGHT: dict[Kind, int] = {"ours": 0, "owner": 1, "new": 2}
_ASIDE = ("age", "load-ratio")
"""What has to be known, but gives no reason."""


def propose(held: Sequence[Held]) -> Proposal:
    """What the rules say of a damage held against its gear's covers."""
    if not held:
        reason = Sentence(gettext("No repair of this gear is under a cover."))
        return Proposal(kind="new", reasons=(reason,), cover=None)
    decided = [(each, rule_for(each)) for each in held]
    deciding, rule = min(decided, key=_weight)
    return Proposal(kind=rule.kind, reasons=_reasons(deciding, rule), cover=deciding.cover)


def rule_for(held: Held) -> Rule:
    """The rule that decides about one cover."""
    return next(rule for rule in RULES if rule.holds(held))


def _weight(decided: tuple[Held, Rule]) -> tuple[int, float, int]:
    held, rule = decided
    return _WEIGHT[rule.kind], held.meeting.distance_m, -held.cover


def _reasons(held: Held, rule: Rule) -> tuple[Sentence, ...]:
    backing = (
        each.sentence
        for each in held.evidence
        if each.speaks in _BACKED_BY[rule.kind] and each.key not in _ASIDE
    )
    return (Sentence(rule.reason), *backing)
