"""Visits of the years that are told one by one: repairs that held, and some that came back."""

from dataclasses import dataclass

from shoprepair.cover.models import Claim
from shoprepair.jobs.models import Stage
from shoprepair.mechanics.description import Answer, FindingKind
from shoprepair.office.demo.finds import Find, canopy, edge, strut, window, with_photo
from shoprepair.office.demo.open_job import ALONG, AROUND, BACK, FRONT, THROUGH, TO_AN_EDGE, TOP, Visit

K = FindingKind
OURS, NEW, OPEN = Claim.Decision.OURS, Claim.Decision.NEW, Claim.Decision.OPEN


@dataclass(frozen=True, slots=True)
class Ruling:
    """What becomes of a damage that is held against an earlier repair."""

    decision: Claim.Decision
    words: str = ""
    over_pressure: Answer = Answer.NO


@dataclass(frozen=True, slots=True)
class Earlier:
    """One closed visit, so many days before today; with a ruling, its first damage is a claim."""

    owner: str
    pattern: str
    colour: str
    days_ago: int
    finds: tuple[Find, ...]
    ruling: Ruling | None = None


IDA = ("Ida Quist", "Holm 4.0 wing", "white and red")
LOVISE = ("Lovise Haraldsen", "Lunde 4.2 wing", "amber")
CENEK = ("Čeněk Příborský", "Rype 6.0 wing", "grey and lime")
SCHOOL_RED = ("Zoë Vandermeulenbroucke", "Holm 4.0 wing", "white and red")
SCHOOL_GREEN = ("Zoë Vandermeulenbroucke", "Holm 4.0 wing", "sea green")
NGUYEN = ("Nguyễn Thị Sóng Biển", "Alke 3.2 wing", "coral")
ANNELIESE = ("Anneliese Groß", *NGUYEN[1:])
KAIMANA = ("Kaimana", "Havelle 14 kite", "amber")
ILKAY = ("İlkay Denizoğlu", "Teist 12 kite", "plum")

EARLIER = (
    Earlier(*ILKAY, 1480, (edge(K.CUT, 0.28, "left", length="30 mm", **AROUND, **FRONT),)),
    Earlier(*KAIMANA, 1390, (edge(K.SEAM_OPENED, 0.46, "right", length="80 mm", **BACK),)),
    Earlier(
        *IDA, 1120, (with_photo(edge(K.CUT, 0.33, "right", length="26 mm", **ALONG, **FRONT, **THROUGH)),)
    ),
    Earlier(
        *KAIMANA,
        1010,
        (edge(K.SEAM_OPENED, 0.465, "right", length="60 mm", **BACK),),
        Ruling(OURS, "Our own stitching along that seam gave way. We sew it again, with a tape under it."),
    ),
    Earlier(
        *ILKAY,
        905,
        (edge(K.SEAM_OPENED, 0.281, "left", length="50 mm", **FRONT),),
        Ruling(OURS, "The outer row of our patch gave way. That is ours to make good."),
    ),
    Earlier(*IDA, 745, (with_photo(canopy(K.TEAR, 0.41, 0.55, "left", length="150 mm", **AROUND)),)),
    Earlier(*NGUYEN, 690, (edge(K.CUT, 0.52, "left", length="22 mm", **ALONG, **FRONT),)),
    Earlier(*CENEK, 640, (edge(K.CUT, 0.24, "left", length="34 mm", **AROUND, **FRONT, **THROUGH),)),
    Earlier(*SCHOOL_RED, 400, (strut(K.HOLE, 0, 0.42, length="6 mm", **TOP, **THROUGH),)),
    Earlier(*SCHOOL_GREEN, 390, (edge(K.CUT, 0.4, "right", length="28 mm", **ALONG, **FRONT),)),
    Earlier(
        *IDA,
        335,
        (
            with_photo(window(K.TEAR, length="90 mm", **ALONG)),
            strut(K.LEAK, 0, 0.6, softens="within an hour"),
        ),
    ),
    Earlier(*LOVISE, 310, (edge(K.SCUFF, 0.655, "left", length="90 mm", **TO_AN_EDGE, **FRONT),)),
    Earlier(
        *SCHOOL_RED,
        260,
        (strut(K.LEAK, 0, 0.42, softens="within an hour"),),
        Ruling(OURS, "It leaks at the edge of the patch that we put on its bladder. We patch it again."),
    ),
    Earlier(
        *SCHOOL_GREEN,
        225,
        (edge(K.CUT, 0.4, "right", length="120 mm", **AROUND, **FRONT),),
        Ruling(
            NEW,
            "A fin went straight through patch and casing. The patch itself is sound; this is a new cut.",
            Answer.UNKNOWN,
        ),
    ),
    Earlier(*ANNELIESE, 150, (canopy(K.TEAR, 0.3, 0.6, "right", length="70 mm", **ALONG),)),
)
"""The oldest first; none before its gear was bought, in whatever month the demo is built."""

COME_BACK = Visit(
    CENEK[0],
    CENEK[1],
    Stage.CHECKED_IN,
    6,
    5,
    (with_photo(edge(K.SEAM_OPENED, 0.241, "left", length="45 mm", **FRONT)),),
    note="Says it opened beside the old patch while pumping.",
)
TODAYS = {
    CENEK: Ruling(OURS, "The stitching of our own patch opened at its edge. We sew it again at no charge."),
    LOVISE: Ruling(OPEN),
    IDA: Ruling(OPEN, over_pressure=Answer.UNKNOWN),
}
"""Claims about damages of gear that is in the shop today."""
