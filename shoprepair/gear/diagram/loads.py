"""The load map: the share of strength that sound cloth uses at full load, as tone and as hatch density."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from shoprepair.gear.diagram import outline
from shoprepair.gear.diagram.hatch import edge_hatch, strut_hatch
from shoprepair.gear.diagram.regions import Region, regions
from shoprepair.gear.diagram.svg import element, group
from shoprepair.gear.diagram.view import View
from shoprepair.gear.planform import Planform
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
UNKNOWN = Step(0, 0.0, "#f1e9d9", None)


def step(load_ratio: float) -> Step:
    """The step that a load ratio falls in."""
    return next(s for s in STEPS if load_ratio < s.below or s is STEPS[-1])


def load_map(planform: Planform, pattern: Pattern, cases: LoadCases = DEFAULT_CASES) -> dict[str, float]:
    """Load ratio of sound cloth by region: of each segment of the leading edge, at its worse end, and strut."""
    return dict(_load_map(planform, pattern, cases))


@lru_cache(maxsize=256)
def _load_map(planform: Planform, pattern: Pattern, cases: LoadCases) -> tuple[tuple[str, float], ...]:
    ratios = _segment_ratios(shape(planform), pattern, cases)
    found = {}
    for region in regions(planform):
        if region.element is Element.LEADING_EDGE:
            found[region.id] = ratios[int(region.id.split("-")[2]) - 1]
        elif region.element is Element.STRUT:
            found[region.id] = assessment.sound_strut_ratio(pattern, int(region.id.split("-")[2]), cases)
    return tuple(found.items())


def _segment_ratios(of: Shape, pattern: Pattern, cases: LoadCases) -> list[float]:
    stations = [of.line.station(t) for t in outline.segment_ts(of)]
    ends = [assessment.sound_load_ratio(pattern, min(station, 1.0), cases) for station in stations]
    return [max(pair) for pair in zip(ends, ends[1:], strict=False)]


def edge_hatches(of: Shape, load: Mapping[str, float], view: View) -> str:
    """Hatch of the leading edge's segments."""
    ts = outline.segment_ts(of)
    paths = []
    for region in regions(of.planform):
        if region.element is Element.LEADING_EDGE and region.id in load:
            _, side, number = region.id.split("-")
            arcs = (of.line.arc(ts[int(number) - 1]), of.line.arc(ts[int(number)]))
            if spacing := step(load[region.id]).spacing_pens:
                paths.append(edge_hatch(of, arcs, spacing * view.pen_m, side))
    return _hatches(paths, view)


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


def fill(region: Region, load: Mapping[str, float] | None) -> tuple[str, str]:
    """Class and paper tone of a tube's region."""
    if load is None or region.id not in load:
        return "", UNKNOWN.grey
    at_step = step(load[region.id])
    return f" load-{at_step.number}", at_step.grey


__all__ = ["STEPS", "Step", "edge_hatches", "fill", "group", "load_map", "step", "strut_hatches"]
