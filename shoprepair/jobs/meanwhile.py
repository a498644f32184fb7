"""May the inflatable be used until it is repaired? The answer that the customer reads, by the worst band."""

from collections.abc import Sequence
from dataclasses import dataclass

from shoprepair.jobs.models import Damage
from shoprepair.mechanics.description import Band
from shoprepair.shop.languages import gettext_lazy


@dataclass(frozen=True, slots=True)
class Meanwhile:
    """One word that answers, and the sentence that goes with it."""

    answer: str
    words: str
    band: str = ""
    """The worst band; empty while nothing is judged."""


_BY_BAND = {
    Band.GROUNDED: Meanwhile(
        gettext_lazy("No."), gettext_lazy("Do not inflate it and do not ride it until it is repaired.")
    ),
    Band.REPAIR_FIRST: Meanwhile(
        gettext_lazy("No."), gettext_lazy("Have it repaired before you ride it again.")
    ),
    Band.NEXT_SERVICE: Meanwhile(
        gettext_lazy("Yes, with care."),
        gettext_lazy("Look at the damage before and after each ride; stop as soon as it grows."),
    ),
    Band.WATCH: Meanwhile(
        gettext_lazy("Yes."), gettext_lazy("Look at the damage now and then; stop if it grows.")
    ),
}
_NOT_JUDGED = Meanwhile(
    gettext_lazy("Not yet."), gettext_lazy("Leave it packed until every damage has been judged.")
)


def meanwhile(damages: Sequence[Damage]) -> Meanwhile:
    """The worst judged damage answers; one that nobody has judged yet keeps it packed unless it is worse."""
    judged = [damage for damage in damages if damage.model_version]
    worst = max(judged, key=lambda damage: damage.urgency, default=None)
    if worst is not None and (len(judged) == len(damages) or Band(worst.band) in _FORBIDDEN):
        found = _BY_BAND[Band(worst.band)]
        return Meanwhile(found.answer, found.words, worst.band)
    return _NOT_JUDGED


_FORBIDDEN = (Band.GROUNDED, Band.REPAIR_FIRST)
