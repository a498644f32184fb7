"""What is to be done about each damage: the operations proposed, their lay-ups, and what people change."""

from shoprepair.pricing.proposals.changes import (
    TooWeak,
    back_to_proposed,
    change_layup,
    change_operation,
    choose,
    drop,
)
from shoprepair.pricing.proposals.figures import figures
from shoprepair.pricing.proposals.layups import extent_of, layup_of
from shoprepair.pricing.proposals.notes import notes
from shoprepair.pricing.proposals.propose import propose, propose_job, repairs_of, repairs_of_job
from shoprepair.pricing.stale import Stale

__all__ = [
    "Stale",
    "TooWeak",
    "back_to_proposed",
    "change_layup",
    "change_operation",
    "choose",
    "drop",
    "extent_of",
    "figures",
    "layup_of",
    "notes",
    "propose",
    "propose_job",
    "repairs_of",
    "repairs_of_job",
]
