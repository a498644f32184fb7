"""What is to be said of a job that hangs on the demo's rack, and how its damages were answered, in short."""

from dataclasses import dataclass

from shoprepair.jobs.models import Hold, Stage
from shoprepair.mechanics.description import Direction, Face, Fold
from shoprepair.office.demo.finds import Find
from shoprepair.office.demo.holding import Reading
from shoprepair.office.demo.quoting import PLAIN, Offer

ALONG, AROUND = {"direction": Direction.ALONG.value}, {"direction": Direction.AROUND.value}
TO_AN_EDGE, ROUND = {"fold": Fold.EDGE.value}, {"fold": Fold.ROUND.value}
THROUGH = {"through_bladder": "yes"}
FRONT, TOP, BELOW, BACK = ({"face": face.value} for face in list(Face)[:4])


@dataclass(frozen=True, slots=True)
class Visit:
    """One open job: days since it came in and until its promised date, counted from today."""

    owner: str
    pattern: str
    stage: Stage
    days_in: int
    promised_in: int
    finds: tuple[Find, ...]
    came_with: tuple[str, ...] = ("bag",)
    wet: bool | None = False
    hold: Hold = Hold.NONE
    hold_note: str = ""
    note: str = ""
    measured_again: str = ""
    """The length of the first damage as the bench found it, where the counter had it wrong."""
    offer: Offer = PLAIN
    begun: bool = False
    """The owner has begun its quote and not sent it yet."""
    ticked: int = 0
    """Bench steps done the day before."""
    at_it: bool = False
    """The bench is at its next step now."""
    inside: tuple[Find, ...] = ()
    """Found while it was open; an addition to the quote is out for it."""
    gauge: tuple[Reading, ...] = ()
    """What was read in its hold test so far."""
    failed: bool = False
    """The hold test has just sent it back to the bench."""
    leaked_first: bool = False
    """Its first hold test sent it back to the bench; the second was good."""
    paid: int = 0
    """Already, of what is owed."""
    parts_in: int | None = None
    """Days until its parts are expected, where somebody knows."""
