"""The plain description that an assessment works on: cloths, pattern, place, finding, load cases.

Frozen values in SI units, free of Django. `gear` and `jobs` translate their records into these;
everything in `mechanics` computes on nothing else. The words of its enumerations are codes, kept and
compared in English; they are said in the reader's language where they are shown.
"""

from dataclasses import dataclass, field
from enum import StrEnum

from shoprepair.mechanics.words import gettext_noop


class Kind(StrEnum):
    WING = gettext_noop("wing")
    KITE = gettext_noop("kite")


class Element(StrEnum):
    """What a place lies on."""

    LEADING_EDGE = gettext_noop("leading edge")
    STRUT = gettext_noop("strut")
    CANOPY = gettext_noop("canopy")
    WINDOW = gettext_noop("window")
    TRAILING_EDGE = gettext_noop("trailing edge")
    HANDLE = gettext_noop("handle")
    BRIDLE_POINT = gettext_noop("bridle point")
    VALVE = gettext_noop("valve")
    HOSE = gettext_noop("hose")


SAILCLOTH = frozenset({Element.CANOPY, Element.WINDOW, Element.TRAILING_EDGE})
"""What holds no air: there, along is along the span, and around is from front to back."""


class Face(StrEnum):
    """Side of a tube, as seen with the inflatable in flight."""

    FRONT = gettext_noop("front")
    TOP = gettext_noop("top")
    UNDERSIDE = gettext_noop("underside")
    BACK = gettext_noop("back")
    UNKNOWN = gettext_noop("not said")


class FindingKind(StrEnum):
    CUT = gettext_noop("cut")
    HOLE = gettext_noop("hole")
    SCUFF = gettext_noop("scuff")
    SEAM_OPENED = gettext_noop("seam opened")
    BURST = gettext_noop("burst")
    LEAK = gettext_noop("leak")
    TEAR = gettext_noop("tear")
    CRACK = gettext_noop("crack")
    STITCHING = gettext_noop("stitching gone")
    RESIDUE = gettext_noop("residue")
    STAIN = gettext_noop("stain")


class Direction(StrEnum):
    """How a cut or tear runs. On a canopy, ALONG is spanwise and AROUND chordwise."""

    ALONG = gettext_noop("along")
    AROUND = gettext_noop("around")
    ANGLE = gettext_noop("at an angle")
    UNKNOWN = gettext_noop("not said")


class Fold(StrEnum):
    """Outcome of folding the cloth along the mark."""

    ROUND = gettext_noop("stays round")
    EDGE = gettext_noop("folds to an edge")
    UNTRIED = gettext_noop("not tried")


class Condition(StrEnum):
    SOUND = gettext_noop("sound")
    FADED = gettext_noop("faded")
    BRITTLE = gettext_noop("brittle")


class Answer(StrEnum):
    YES = gettext_noop("yes")
    NO = gettext_noop("no")
    UNKNOWN = gettext_noop("not said")


class Softens(StrEnum):
    """How fast a leak takes the tube to half pressure, in the customer's words."""

    DAY = gettext_noop("within a day")
    HOUR = gettext_noop("within an hour")
    MINUTES = gettext_noop("within minutes")
    UNKNOWN = gettext_noop("not said")


class Band(StrEnum):
    GROUNDED = gettext_noop("Grounded")
    REPAIR_FIRST = gettext_noop("Repair first")
    NEXT_SERVICE = gettext_noop("Next service")
    WATCH = gettext_noop("Watch")


@dataclass(frozen=True, kw_only=True, slots=True)
class Cloth:
    """A cloth or film. Warp runs around a tube and along the chord of a canopy [A]."""

    name: str
    strength_warp_n_per_m: float
    strength_weft_n_per_m: float
    yarns_warp_per_m: float
    yarns_weft_per_m: float
    stiffness_n_per_m: float
    measured: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Tube:
    """A tube tapering linearly from its root (the centre, or the leading edge) to its tip."""

    diameter_root_m: float
    diameter_tip_m: float
    length_m: float
    """Length of one half leading edge, or of the whole strut."""
    doublings: tuple[tuple[float, float], ...] = ()
    """Stretches of two plies, as fractions of the length (for a leading edge: stations)."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Strut:
    station: float
    """Where it meets the leading edge: 0 the centre strut, else a pair at ± this station."""
    tube: Tube


@dataclass(frozen=True, kw_only=True, slots=True)
class Pattern:
    name: str = field(compare=False)
    """Two that are cut alike carry alike, whatever they are called."""
    kind: Kind
    held: bool
    """True: load leaves through the centre strut (a wing). False: through bridle points (a kite)."""
    area_m2: float
    span_m: float
    """Projected span, tip to tip; the half span that a station divides is half of it."""
    chord_centre_m: float
    chord_tip_m: float
    rated_pressure_pa: float
    leading_edge: Tube
    struts: tuple[Strut, ...]
    casing: Cloth
    canopy: Cloth
    window: Cloth | None = None
    bridle_stations: tuple[float, ...] = ()
    """Stations of the bridle points on one half; the other half mirrors them."""
    linked: bool = True
    handle_count: int = 2
    seam_efficiency: float = 0.66
    assumed: frozenset[str] = field(default_factory=frozenset)
    """Names of the figures above that were assumed rather than measured."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Place:
    """A point of the inflatable, as the trade would name it."""

    element: Element
    station: float
    """0 at the centre, 1 at the tip; of the point itself, also on a canopy or a strut."""
    side: str = "centre"
    """left, right or centre, as seen by someone standing behind the trailing edge, canopy up."""
    strut: int | None = None
    """Which strut of the pattern, on a strut."""
    fraction: float = 0.0
    """Share of the way from the leading edge to the trailing edge: along a strut, or of the chord."""
    face: Face = Face.UNKNOWN


@dataclass(frozen=True, kw_only=True, slots=True)
class Finding:
    kind: FindingKind
    length_m: float | None = None
    direction: Direction = Direction.UNKNOWN
    angle_rad: float | None = None
    """From the tube axis (canopy: from spanwise), with Direction.ANGLE."""
    fold: Fold = Fold.UNTRIED
    condition: Condition = Condition.SOUND
    through_bladder: Answer = Answer.UNKNOWN
    softens: Softens = Softens.UNKNOWN
    seconds_to_half: float | None = None
    """Measured or extrapolated time to half pressure; wins over `softens`."""
    stitched_left_m: float | None = None
    """Stitched length still sound at a handle, bridle point or strut joint."""
    stitched_whole_m: float | None = None
    rows: int = 2
    under: "Finding | None" = None
    """What lies under residue or a stain, when known."""


@dataclass(frozen=True, kw_only=True, slots=True)
class LoadCases:
    """Every assumed figure of the load cases; a shop may set its own. All marked [A]."""

    held_wind_m_per_s: float = 12.0
    held_gust: float = 1.5
    held_lift_cap_n: float = 1000.0
    held_share: float = 0.60
    bridled_wind_m_per_s: float = 20.0
    bridled_gust: float = 1.2
    bridled_share: float = 0.75
    lift_coefficient: float = 1.0
    fill_celsius: float = 20.0
    hot_celsius: float = 50.0
    session_s: float = 7200.0
    flaw_length_m: float = 0.003
    camber_share: float = 0.08
    faded_share: float = 0.8
    brittle_share: float = 0.6
    folded_share: float = 0.5
    stitches_per_m: float = 1000.0 / 3.0
    thread_strength_n: float = 62.0
    stitch_factor: float = 1.24
    safety_factor: float = 3.0


DEFAULT_CASES = LoadCases()


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value in SI with the unit it is in: m, N/m, Pa, K, s, N, N m, or '' for a bare ratio."""

    value: float
    unit: str


@dataclass(frozen=True, slots=True)
class Sentence:
    """A sentence whose figures stay in SI until someone says in which units they read it.

    `text` holds {names}; `values` gives each its quantity. `shop.units.say` writes it out.
    """

    text: str
    values: dict[str, Quantity] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True, slots=True)
class Figure:
    """One number of an assessment that can be opened."""

    name: str
    quantity: Quantity
    formula: str
    """The formula in words, naming its inputs by their `name` among the figures before it."""
    source: str
    assumed: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Assessment:
    """What the damaged place is asked to carry over what it still can, and what follows."""

    load_ratio: float
    """What the arithmetic says, before the floors of the trade; math.inf where nothing is left.

    The only figure here that can be infinite: JSON does not know infinity, so whoever stores this
    writes it as null or as a word.
    """
    urgency: int
    band: Band
    case: str
    """The load case that decided, in words."""
    reason: Sentence
    """The one sentence that decides: it stands on the rack and on the papers."""
    reasons: tuple[Sentence, ...]
    """Everything else decided by rule or assumption, a sentence each."""
    figures: tuple[Figure, ...]
    """Inputs first, then each step, so that a person can follow the arithmetic downwards."""
    demand_n_per_m: float | None = None
    """Highest tension of any banded case at the place, whole cloth and either direction."""
    run_length_m: float | None = None
    hopeful_load_ratio: float | None = None
    runs_for_certain: bool = False
    out_of_range: bool = False
    pinhole_m: float | None = None
    inspect: tuple[Sentence, ...] = ()
    """What to look at besides: the mirror place, the doubling, the bladder behind a cut."""
    cautions: tuple[Sentence, ...] = ()
