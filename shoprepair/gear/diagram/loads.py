"""The load map: the share of strength that sound cloth uses at full load, as tone and as hatch density."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from shoprepair.gear.diagram import outline
from shoprepair.gear.diagram.hatch import edge_hatch, strut_hatch
from shoprepair.gear.diagram.regions import Region, regions
from shoprepair.gear.diagram.svg import element
from shoprepair.gear.diagram.view import View
from shoprepair.gear.planform import SIDES, Planform
from shoprepair.gear.shape import POINTED_SHARE, Shape, shape
from shoprepair.mechanics import assessment
from shoprepair.mechanics.description import DEFAULT_CASES, Element, LoadCases, Pattern


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the load map: up to which load ratio, how dark, how dense."""

    number: int
    below: float
    grey: str
    spacing_pens: float | None
    """Distance of the hatch lines in pens; None leaves the step plain."""


STEPS = (
    Step(0, 0.05, "#fbf8f0", None),
    Step(1, 0.10, "#f2efe7", 26.0),
    Step(2, 0.15, "#e8e5dd", 17.0),
    Step(3, 0.20, "#dddad2", 12.0),
    Step(4, 0.30, "#d0cdc5", 8.5),
    Step(5, 0.50, "#c1beb7", 6.0),
    Step(6, float("inf"), "#aeaba5", 4.0),
)
WITHIN = 1e-6
"""How far inside the end of a stretch its load is read."""
UNKNOWN = Step(0, 0.0, "#f1e9d9", None)


def step(load_ratio: float) -> Step:
    """The step that a load ratio falls in."""
    return next(s for s in STEPS if load_ratio < s.below or s is STEPS[-1])


def load_map(planform: Planform, pattern: Pattern, cases: LoadCases = DEFAULT_CASES) -> dict[str, float]:
    """Load ratio of sound cloth by region: each segment of the leading edge at its worse end, each strut."""
    return dict(_load_map(planform, pattern, cases))


@lru_cache(maxsize=256)
def _load_map(planform: Planform, pattern: Pattern, cases: LoadCases) -> tuple[tuple[str, float], ...]:
    of, found = shape(planform), {}
    segments = _segment_ratios(of, pattern, cases)
    for region in regions(planform):
        if region.element is Element.LEADING_EDGE:
            found[region.id] = segments[int(region.id.split("-")[2]) - 1]
        elif region.element is Element.STRUT:
            found[region.id] = assessment.sound_strut_ratio(pattern, int(region.id.split("-")[2]), cases)
    for n, (low, high) in enumerate(planform.leading_edge.doublings, 1):
        found[doubling_id(n)] = _worst(pattern, [low + WITHIN, high - WITHIN], cases)
    return tuple(found.items())


def doubling_id(number: int) -> str:
    """Key of a doubled stretch of the leading edge in a load map: it carries less than its segment."""
    return f"doubling-{number}"


def _segment_ratios(of: Shape, pattern: Pattern, cases: LoadCases) -> list[float]:
    """The worst of each segment, its doubled stretches left out where single cloth remains."""
    stations = [min(of.line.station(t), 1.0) for t in outline.segment_ts(of)]
    ratios = []
    for low, high in pairwise(stations):
        ends = [end for pair in pattern.leading_edge.doublings for end in pair if low < end < high]
        tries = [low + WITHIN, high - WITHIN, *(end + side for end in ends for side in (-WITHIN, WITHIN))]
        single = [station for station in tries if not of.planform.leading_edge.is_doubled(station)]
        ratios.append(_worst(pattern, single or tries, cases))
    return ratios


def _worst(pattern: Pattern, stations: list[float], cases: LoadCases) -> float:
    return max(assessment.sound_load_ratio(pattern, station, cases) for station in stations)


def doubled_stretches(of: Shape, load: Mapping[str, float], view: View) -> str:
    """The doubled stretches in their own tone and hatch over their segments'."""
    parts = []
    for n, stretch in enumerate(of.planform.leading_edge.doublings, 1):
        if doubling_id(n) in load:
            at_step = step(load[doubling_id(n)])
            start, end = (of.line.t_at_station(station) for station in stretch)
            path = "".join(outline.tube_stretch(of, start, end, side) for side in SIDES)
            parts.append(
                element(
                    "path",
                    d=path,
                    class_=f"part load-{at_step.number}",
                    fill=at_step.grey,
                )
            )
            arcs = (of.line.arc(start), of.line.arc(end))
            parts.append(_hatches([_edge_hatch(of, arcs, at_step, side, view) for side in SIDES], view))
    return "".join(parts)


def edge_hatches(of: Shape, load: Mapping[str, float], view: View) -> str:
    """Hatch of the leading edge's segments, their doubled stretches left to `doubled_stretches`."""
    ts = outline.segment_ts(of)
    paths = []
    for region in regions(of.planform):
        if region.element is Element.LEADING_EDGE and region.id in load:
            _, side, number = region.id.split("-")
            at_step = step(load[region.id])
            for arcs in _single(of, ts[int(number) - 1], ts[int(number)]):
                paths.append(_edge_hatch(of, arcs, at_step, side, view))
    return _hatches(paths, view)


def _single(of: Shape, start: float, end: float) -> list[tuple[float, float]]:
    """The stretches of single cloth between two places of the centreline, as lengths from the centre."""
    line = of.line
    ends = {line.t_at_station(s) for pair in of.planform.leading_edge.doublings for s in pair}
    cuts = sorted({start, end} | {t for t in ends if start < t < end})
    return [
        (line.arc(low), line.arc(high))
        for low, high in pairwise(cuts)
        if not of.planform.leading_edge.is_doubled(line.station((low + high) / 2))
    ]


def _edge_hatch(of: Shape, arcs: tuple[float, float], at_step: Step, side: str, view: View) -> str:
    return edge_hatch(of, arcs, at_step.spacing_pens * view.pen_m, side) if at_step.spacing_pens else ""


def strut_hatches(of: Shape, load: Mapping[str, float], view: View) -> str:
    """Hatch of the struts."""
    paths = []
    for region in regions(of.planform):
        if region.element is Element.STRUT and region.id in load:
            _, side, index = region.id.split("-")
            if spacing := step(load[region.id]).spacing_pens:
                stretch = (0.0, POINTED_SHARE)
                paths.append(strut_hatch(of, int(index), stretch, spacing * view.pen_m, side))
    return _hatches(paths, view)


def _hatches(paths: list[str], view: View) -> str:
    path = "".join(paths)
    return (
        element("path", d=path, class_="hatch", fill="none", stroke="#15252b", stroke_width=0.75 * view.pen_m)
        if path
        else ""
    )


def tone(region: Region, load: Mapping[str, float]) -> tuple[str, str | None]:
    """Class and paper tone of a tube's region; none where its load is not known."""
    if region.id not in load:
        return "", None
    at_step = step(load[region.id])
    return f" load-{at_step.number}", at_step.grey
