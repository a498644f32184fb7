"""What has to stand beside every answer that a person could be hurt by."""

from shoprepair.mechanics.description import Band, Sentence
from shoprepair.mechanics.words import gettext_noop

SCREENING = Sentence(
    gettext_noop(
        "Screening figures, not a certificate: inspect, respect the maker's limits and local rules, "
        "let a qualified person sign."
    )
)
AIR = Sentence(
    gettext_noop("Air under pressure can burst a tube: wear eye and ear protection at test pressure.")
)
OFFSHORE = Sentence(gettext_noop("A failure offshore can drown the rider."))


def cautions(band: Band, *, under_pressure: bool) -> tuple[Sentence, ...]:
    """The cautions for a finding of this band, on a tube or not."""
    said = [AIR] if under_pressure else []
    if band in (Band.GROUNDED, Band.REPAIR_FIRST):
        said.append(OFFSHORE)
    return (*said, SCREENING)
