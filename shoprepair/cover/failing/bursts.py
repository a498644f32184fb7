"""What the arithmetic says a place bears, against where tubes really burst."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Case, CharField, Count, Exists, F, IntegerField, Q, Value, When
from django.db.models.functions import Floor
from django.utils.translation import gettext

from shoprepair.cover.failing import gear
from shoprepair.cover.failing.asked import Asked, damages
from shoprepair.cover.failing.repeats import later_there
from shoprepair.gear import describe
from shoprepair.gear.models import Pattern
from shoprepair.jobs.models import Stage
from shoprepair.mechanics import assessment
from shoprepair.mechanics.bands import LEAST_RATIO
from shoprepair.mechanics.description import Element, FindingKind, LoadCases
from shoprepair.shop.charts.scale import ticks
from shoprepair.shop.languages import written

TUBES = (Element.LEADING_EDGE.value, Element.STRUT.value)
BURST = FindingKind.BURST.value
STATIONS = 12
MOST_STEPS = 6
LEFT_AS_IT_WAS = (Stage.DECLINED, Stage.WITHDRAWN)


@dataclass(frozen=True, slots=True)
class Loaded:
    """Places that work equally hard, and how many of the damages there were bursts."""

    name: str
    damages: int
    bursts: int


def by_load(asked: Asked, cases: LoadCases) -> list[Loaded]:
    """Of the damages on tubes, the share that were bursts, by how hard sound cloth works at that place.

    Where the arithmetic is right, the share grows with the load ratio. Gear whose model nobody knows yet says
    nothing of that: all its figures are assumed. Damages are counted in the database by pattern and place;
    the load is reckoned once for each such place from the pattern as it stands today.
    """
    rows = list(
        damages(asked)
        .filter(element__in=TUBES, job__inflatable__pattern__everyday="")
        .annotate(across=Floor(F("station") * STATIONS, output_field=IntegerField()))
        .values_list("job__inflatable__pattern", "element", "strut", "across")
        .annotate(n=Count("id"), bursts=Count("id", filter=Q(kind=BURST)))
    )
    patterns = gear.fetched({row[0] for row in rows})
    placed = [
        (_sound(patterns[key], element, strut, across, cases), n, bursts)
        for key, element, strut, across, n, bursts in rows
    ]
    return _stepped([row for row in placed if row[0] is not None])


def _sound(pattern: Pattern, element: str, strut: int | None, across: int, cases: LoadCases) -> float | None:
    """Load ratio of sound cloth there; None on a strut that the pattern no longer has."""
    described = describe.description(pattern)
    if element == Element.LEADING_EDGE:
        return assessment.sound_load_ratio(described, min((int(across) + 0.5) / STATIONS, 1.0), cases)
    if strut is None or strut >= len(described.struts):
        return None
    return assessment.sound_strut_ratio(described, strut, cases)


def _stepped(placed: Iterable[tuple[float | None, int, int]]) -> list[Loaded]:
    """The places in round steps of load ratio, from the least loaded up."""
    rows = [(ratio, n, bursts) for ratio, n, bursts in placed if ratio is not None]
    if not rows:
        return []
    ratios = [ratio for ratio, _, _ in rows]
    bounds = ticks(min(ratios), max(ratios), MOST_STEPS)
    counts: Counter[int] = Counter()
    burst: Counter[int] = Counter()
    for ratio, n, bursts in rows:
        step = max(sum(ratio >= bound for bound in bounds[:-1]) - 1, 0)
        counts[step] += n
        burst[step] += bursts
    return [
        Loaded(
            gettext("λ %(bounds)s to %(bounds_2)s")
            % {"bounds": written(f"{bounds[step]:g}"), "bounds_2": written(f"{bounds[step + 1]:g}")},
            counts[step],
            burst[step],
        )
        for step in sorted(counts)
    ]


@dataclass(frozen=True, slots=True)
class Later:
    """Damages of one band that were not repaired here, or were, and how many tubes burst there later."""

    band: str
    left: int
    left_burst: int
    repaired: int
    repaired_burst: int


def later(asked: Asked) -> list[Later]:
    """Damages on tubes by the band they were given, and bursts found there on a later visit.

    One statement. Who never came back is counted as not burst, so the shares are the least there were.
    """
    fate = Case(
        When(job__stage__in=LEFT_AS_IT_WAS, then=Value("left")),
        When(job__stage=Stage.HANDED_BACK, then=Value("repaired")),
        default=Value(""),
        output_field=CharField(),
    )
    rows = (
        damages(asked)
        .filter(element__in=TUBES)
        .exclude(kind=BURST)
        .exclude(model_version="")
        .annotate(fate=fate, burst=Exists(later_there().filter(kind=BURST)))
        .values_list("band", "fate")
        .annotate(n=Count("id"), bursts=Count("id", filter=Q(burst=True)))
    )
    counts = {(band, fate): (n, bursts) for band, fate, n, bursts in rows}
    return [
        Later(
            band.value,
            *counts.get((band.value, "left"), (0, 0)),
            *counts.get((band.value, "repaired"), (0, 0)),
        )
        for band in LEAST_RATIO
    ]
