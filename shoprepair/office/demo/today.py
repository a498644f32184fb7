"""The jobs that hang on the rack today, in every stage, from a burst leading edge to a stain."""

from dataclasses import dataclass

from shoprepair.jobs.models import Hold, Stage
from shoprepair.mechanics.description import Direction, Element, Face, FindingKind, Fold, Softens
from shoprepair.office.demo.finds import Find, canopy, edge, fitting, strut, window, with_photo
from shoprepair.office.demo.holding import COOLED, LEAKING, TOO_EARLY, Reading
from shoprepair.office.demo.quoting import PLAIN, Offer

K = FindingKind
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
    paid: int = 0
    """Already, of what is owed."""
    parts_in: int | None = None
    """Days until its parts are expected, where somebody knows."""


A_DOZEN = (
    edge(K.SCUFF, 0.12, "left", length="140 mm", **TO_AN_EDGE, **FRONT),
    edge(K.CUT, 0.31, "right", length="22 mm", **ALONG, **BELOW),
    edge(K.HOLE, 0.58, "right", length="5 mm", **TOP),
    edge(K.SEAM_OPENED, 0.74, "left", length="45 mm", **BACK),
    edge(K.STAIN, 0.82, "left"),
    strut(K.LEAK, 0, 0.3, softens=Softens.DAY.value),
    strut(K.SCUFF, 1, 0.85, "right", length="70 mm", **ROUND),
    canopy(K.TEAR, 0.22, 0.5, "left", length="140 mm", **AROUND),
    canopy(K.HOLE, 0.4, 0.62, "right", length="12 mm"),
    canopy(K.RESIDUE, 0.63, 0.45, "right", under_kind=K.TEAR.value, length="60 mm"),
    canopy(K.TEAR, 0.5, 0.998, "left", length="35 mm", **ALONG),
    fitting(K.STITCHING, Element.BRIDLE_POINT, 3, stitched_left="30 mm"),
)

TODAY = (
    Visit(
        "Ida Quist",
        "Holm 5.0 wing",
        Stage.GO_AHEAD,
        4,
        3,
        (with_photo(edge(K.CUT, 0.1703, "right", length="30 mm", **ALONG, **FRONT)),),
        came_with=("bag", "pump"),
        measured_again="35 mm",
        paid=40,
    ),
    Visit(
        "Þórdís Eyvindardóttir Skerjafjall",
        "Rype 7.0 wing",
        Stage.ASSESSED,
        3,
        9,
        (
            with_photo(edge(K.BURST, 0.06, "right", **THROUGH, **TOP)),
            with_photo(strut(K.SCUFF, 0, 0.55, length="90 mm", **ROUND)),
        ),
        came_with=("bag", "leash"),
        note="Left in the sun at the launch, went with a bang.",
    ),
    Visit(
        "Bassey Okafor",
        "Skarv 9 kite",
        Stage.QUOTE_OUT,
        5,
        6,
        (
            with_photo(edge(K.SEAM_OPENED, 0.64, "right", length="60 mm", **BACK)),
            with_photo(canopy(K.TEAR, 0.05, 0.55, "right", length="180 mm", **AROUND)),
        ),
        hold=Hold.CUSTOMER,
        hold_note="Thinks it over until Friday.",
        offer=Offer(
            question="Can you only tape the canopy for now, and sew it after the season?",
            full_check=True,
        ),
    ),
    Visit(
        "Lovise Haraldsen",
        "Lunde 4.2 wing",
        Stage.CHECKED_IN,
        2,
        8,
        (with_photo(edge(K.SCUFF, 0.66, "left", length="110 mm", **TO_AN_EDGE, **FRONT)),),
    ),
    Visit(
        "Priya Anandan",
        "Holm 5.0 wing",
        Stage.HOLD_TEST,
        9,
        0,
        # Fourteen per cent down in an hour: half of it after 4.6 hours.
        (with_photo(strut(K.LEAK, 0, 0.52, seconds_to_half=16544.0)),),
        gauge=TOO_EARLY,
    ),
    Visit(
        "Sizwe Mbelo",
        "Teist 12 kite",
        Stage.READY,
        11,
        0,
        (with_photo(canopy(K.TEAR, 0.16, 0.6, "left", length="20 mm", **ALONG)),),
    ),
    Visit(
        "Maximiliano Fernández-Echeverría de la Peña y Castroviejo",
        "Lomvi 17 kite",
        Stage.CHECKED_IN,
        1,
        14,
        tuple(with_photo(find) for find in A_DOZEN[:3]) + A_DOZEN[3:],
        came_with=("bag", "pump", "two spare valves"),
        note="Wants it for the winter; asks what is worth doing.",
    ),
    Visit(
        "Wojciech Szczębrzeski",
        "Holm 4.0 wing",
        Stage.BENCH,
        7,
        1,
        (with_photo(fitting(K.STITCHING, Element.HANDLE, 0, stitched_left="0 mm")),),
        ticked=3,
        at_it=True,
    ),
    Visit(
        "سلمى بدر الساحلي",
        "Lunde 5.4 wing",
        Stage.ASSESSED,
        4,
        7,
        (with_photo(window(K.CRACK, length="200 mm")),),
    ),
    Visit(
        "Kaimana",
        "Havelle 14 kite",
        Stage.QUOTE_OUT,
        6,
        5,
        (
            with_photo(canopy(K.RESIDUE, 0.35, 0.5, "right", under_kind=K.TEAR.value, length="120 mm")),
            canopy(K.TEAR, 0.35, 0.62, "right", length="90 mm", **ALONG),
        ),
        note="Taped on the beach in May with a stretch film patch.",
        offer=Offer(
            question="What happens if the old patch does not peel?",
            reply="Then we cut it out with its panel, which is the other choice. We call before we cut.",
        ),
    ),
    Visit(
        "ליאור בן־חוף",
        "Krykkje 10 kite",
        Stage.GO_AHEAD,
        6,
        2,
        (with_photo(edge(K.CUT, 0.44, "left", length="18 mm", **AROUND, **TOP, **THROUGH)),),
        offer=Offer(full_check=True, declines_extras=True),
    ),
    Visit(
        "Nguyễn Thị Sóng Biển",
        "Rype 6.0 wing",
        Stage.CHECKED_IN,
        0,
        10,
        (with_photo(edge(K.HOLE, 0.2, "right", length="4 mm", **FRONT, **THROUGH)),),
        wet=True,
    ),
    Visit(
        "François-Xavier de Brétignolles-Lacôte",
        "Tjeld 6.5 kite",
        Stage.BENCH,
        8,
        -1,
        (edge(K.SEAM_OPENED, 0.3, "left", length="15 mm", **BACK),),
        hold=Hold.PARTS,
        hold_note="Thread in the right colour comes on Thursday.",
        ticked=2,
        parts_in=4,
    ),
    Visit(
        "Åse Bjørkås",
        "Alke 3.2 wing",
        Stage.READY,
        13,
        -2,
        (edge(K.CUT, 0.71, "right", length="15 mm", **ALONG, **BELOW),),
        paid=50,
    ),
    Visit(
        "Zoë Vandermeulenbroucke",
        "Alke 2.5 wing",
        Stage.BENCH,
        5,
        0,
        (
            strut(K.HOLE, 0, 0.4, length="3 mm", **THROUGH),
            canopy(K.TEAR, 0.3, 0.4, "left", length="75 mm", **ALONG),
        ),
        offer=Offer(discount_percent=10, full_check=True, declines_extras=True),
        ticked=4,
        inside=(strut(K.SEAM_OPENED, 0, 0.62, length="12 mm", **BACK),),
    ),
    Visit(
        "Zoë Vandermeulenbroucke",
        "Alke 3.2 wing",
        Stage.HOLD_TEST,
        5,
        0,
        (fitting(K.LEAK, Element.VALVE, 0, softens=Softens.HOUR.value),),
        gauge=LEAKING,
    ),
    Visit(
        "İlkay Denizoğlu",
        "Skarv 11 kite",
        Stage.ASSESSED,
        2,
        8,
        (with_photo(fitting(K.STITCHING, Element.BRIDLE_POINT, 2, stitched_left="15 mm")),),
    ),
    Visit(
        "Čeněk Příborský",
        "Teist 7 kite",
        Stage.QUOTE_OUT,
        7,
        4,
        (edge(K.SCUFF, 0.25, "right", length="60 mm", **FRONT),),
        note="Fold test not tried: the bladder is still in.",
        offer=Offer(revised="You need it for the weekend only: we left out what can wait and took 5 % off."),
    ),
    Visit(
        "Αλκυόνη Θαλασσινού",
        "Tjeld 5 kite",
        Stage.CHECKED_IN,
        1,
        9,
        (with_photo(canopy(K.TEAR, 0.55, 0.5, "left", length="340 mm", **AROUND)),),
        hold=Hold.DRYING,
        wet=True,
    ),
    Visit(
        "Мирослава Прибережная",
        "Lunde 4.2 wing",
        Stage.ASSESSED,
        3,
        6,
        (with_photo(strut(K.CUT, 0, 0.12, length="30 mm", **ALONG, **THROUGH)),),
    ),
    Visit(
        "Tūī Ngaromoana",
        "Krykkje 10 kite",
        Stage.GO_AHEAD,
        9,
        1,
        (edge(K.SEAM_OPENED, 0.1, "right", length="14 mm", **BACK),),
        offer=Offer(by_phone=True),
    ),
    Visit(
        "Fionnuala O’Dwyre",
        "Lunde 5.4 wing",
        Stage.CHECKED_IN,
        2,
        8,
        (
            with_photo(edge(K.CUT, 0.38, "left", length="1 1/8 in", **AROUND, **TOP)),
            edge(K.SCUFF, 0.42, "left", length="80 mm", **ROUND),
        ),
    ),
    Visit(
        "Jörg Wellenreuter",
        "Old 3.6 wing, no label",
        Stage.QUOTE_OUT,
        8,
        3,
        (
            with_photo(edge(K.SEAM_OPENED, 0.18, "left", length="120 mm", condition="brittle", **BACK)),
            canopy(K.STAIN, 0.4, 0.5, "right"),
        ),
        note="Nine years old, faded through; told that it may not be worth it.",
        offer=Offer(note="Cloth of this age may go beside the repair. We would understand a no."),
    ),
    Visit(
        "Anneliese Groß",
        "Alke 2.5 wing",
        Stage.READY,
        10,
        1,
        (canopy(K.HOLE, 0.2, 0.7, "right", length="8 mm"),),
    ),
    Visit(
        "Siobhán Ní Chuanáin",
        "Teist 7 kite",
        Stage.BENCH,
        6,
        2,
        (with_photo(canopy(K.SEAM_OPENED, 0.5, 0.34, "right", length="40 mm")),),
    ),
    Visit(
        "Efua Mensah-Quay",
        "Rype 6.0 wing",
        Stage.GO_AHEAD,
        4,
        5,
        (with_photo(fitting(K.STITCHING, Element.HANDLE, 1, stitched_left="60 mm")),),
    ),
    Visit(
        "Rurik",
        "Lomvi 17 kite",
        Stage.QUOTE_OUT,
        10,
        2,
        (edge(K.SCUFF, 0.5, "right", length="160 mm", **TO_AN_EDGE, **BELOW),),
        came_with=("bag", "pump", "a letter"),
        hold=Hold.CUSTOMER,
        hold_note="Written to; no answer yet.",
        offer=Offer(valid_days=3),
    ),
    Visit(
        "Beatrix Lindqvist-Ramírez",
        "Skarv 9 kite",
        Stage.HOLD_TEST,
        8,
        1,
        (edge(K.HOLE, 0.27, "left", length="6 mm", **TOP, **THROUGH),),
        gauge=LEAKING,
        failed=True,
    ),
    Visit(
        "נעמה גלי־ים",
        "Holm 5.0 wing",
        Stage.CHECKED_IN,
        0,
        10,
        (with_photo(edge(K.CUT, 0.52, "right", length="12 mm", **AROUND, **FRONT)),),
    ),
    Visit(
        "عبد الرحمن بن يوسف النورسي",
        "Teist 12 kite",
        Stage.BENCH,
        9,
        -1,
        (with_photo(edge(K.BURST, 0.36, "left", **THROUGH, **FRONT)),),
        hold=Hold.PARTS,
        hold_note="Bladder ordered.",
        offer=Offer(by_phone=True, full_check=True),
        ticked=3,
    ),
    Visit(
        "Tomás Mareada",
        "Tjeld 6.5 kite",
        Stage.READY,
        12,
        0,
        (strut(K.LEAK, 1, 0.4, "left", softens=Softens.DAY.value),),
    ),
    Visit(
        "Ewan Stroudley",
        "Rype 7.0 wing",
        Stage.ASSESSED,
        5,
        5,
        (with_photo(strut(K.STITCHING, 0, 0.02, stitched_left="40 mm", **BELOW)),),
        begun=True,
    ),
    Visit(
        "Leilani Kapewa",
        "Havelle 14 kite",
        Stage.HOLD_TEST,
        11,
        0,
        (edge(K.SEAM_OPENED, 0.82, "left", length="12 mm", **BACK),),
        gauge=COOLED,
    ),
    Visit(
        "Ida Quist",
        "Holm 4.0 wing",
        Stage.CHECKED_IN,
        4,
        6,
        (window(K.TEAR, length="55 mm", **ALONG),),
    ),
    Visit(
        "Bassey Okafor",
        "Skarv 11 kite",
        Stage.ENQUIRY,
        1,
        9,
        (edge(None, 0.33, "right"),),
    ),
    Visit(
        "Sizwe Mbelo",
        "Tjeld 5 kite",
        Stage.ENQUIRY,
        0,
        10,
        (canopy(K.TEAR, 0.3, 0.45, "right", length="50 mm", **ALONG),),
    ),
    Visit("Lovise Haraldsen", "Lunde 5.4 wing", Stage.ENQUIRY, 0, 10, ()),
    Visit(
        "Fionnuala O’Dwyre",
        "Skarv 9 kite",
        Stage.BENCH,
        7,
        3,
        (
            canopy(K.TEAR, 0.12, 0.998, "right", length="15 mm", **ALONG),
            canopy(K.HOLE, 0.4, 0.3, "left", length="10 mm"),
        ),
        ticked=4,
    ),
    Visit(
        "Wojciech Szczębrzeski",
        "Krykkje 10 kite",
        Stage.ASSESSED,
        2,
        8,
        (fitting(K.LEAK, Element.HOSE, 0, softens=Softens.DAY.value),),
    ),
    Visit(
        "İlkay Denizoğlu",
        "Teist 12 kite",
        Stage.GO_AHEAD,
        8,
        0,
        (canopy(K.RESIDUE, 0.6, 0.4, "left"), edge(K.STAIN, 0.2, "left")),
        wet=True,
        hold=Hold.DRYING,
        hold_note="Rinsed; the bladder is still damp.",
    ),
    Visit(
        "Tūī Ngaromoana",
        "Lunde 4.2 wing",
        Stage.READY,
        14,
        -3,
        (strut(K.SEAM_OPENED, 0, 0.7, length="8 mm", **BELOW),),
        note="Called twice; picks it up on Saturday.",
    ),
    Visit(
        "Efua Mensah-Quay",
        "Holm 5.0 wing",
        Stage.QUOTE_OUT,
        6,
        4,
        (with_photo(edge(K.CUT, 0.62, "right", length="20 mm", **AROUND, **TOP)),),
        offer=Offer(full_check=True, note="It can be ready two days after you say yes."),
    ),
)
