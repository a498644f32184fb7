"""The figures of an inflatable as its papers list them, in the shop's units."""

from collections.abc import Iterable
from decimal import Decimal
from typing import NamedTuple

from django.utils.translation import gettext

from shoprepair.gear.describe import planform
from shoprepair.gear.models import Inflatable, Pattern
from shoprepair.gear.planform import TubeFigures
from shoprepair.gear.words import ordinal
from shoprepair.mechanics.description import Condition
from shoprepair.mechanics.tube import hoop_tension
from shoprepair.papers.context import PrintedJob, listed
from shoprepair.shop.languages import written
from shoprepair.shop.units import Units, say_length, say_line_load, say_pressure


class Line(NamedTuple):
    """A figure with its name; `assumed` where nobody measured it, `typed` where a person chose the script."""

    label: str
    value: str
    assumed: bool = False
    typed: bool = False


def of_inflatable(inflatable: Inflatable, job: PrintedJob, units: Units) -> tuple[Line, ...]:
    """Serial first, then size, tubes, how it is held and pumped, and how it came."""
    pattern = inflatable.pattern
    assumed = set(pattern.assumed)
    lines = [
        Line(gettext("Serial"), inflatable.serial, typed=True),
        Line(gettext("Colour"), inflatable.colour, typed=True),
        Line(gettext("Cloth"), "" if inflatable.condition == Condition.SOUND else inflatable.condition),
        Line(gettext("Area"), f"{written(f'{pattern.area_m2:.1f}')} m²", "area_m2" in assumed),
        Line(gettext("Span"), say_length(pattern.span_m, units), "span_m" in assumed),
        *_tubes(pattern, units),
        Line(gettext("Support"), pattern.get_support_display()),
        Line(gettext("Pumping"), str(pattern.get_pumping_display()).partition(":")[0]),
        Line(gettext("Casing"), str(pattern.casing), "casing" in assumed),
        Line(gettext("Came with"), listed(job.came_with)),
        Line(gettext("Arrived"), gettext("wet or sandy") if job.wet else ""),
    ]
    return tuple(line for line in lines if line.value)


def pressures(pattern: Pattern, factor: Decimal, units: Units) -> tuple[Line, ...]:
    """Rated pressure as written and in the shop's unit, test pressure, and the hoop tension that makes.

    The hoop tension is p·r of a thin tube at the leading edge's centre (membrane theory).
    """
    rated, typed = pattern.rated_pressure_pa, pattern.rated_pressure_typed
    said = say_pressure(rated, units)
    test = rated * float(factor)
    radius = planform(pattern).leading_edge.radius(0)
    other_unit = f", {said}" if typed.rpartition(" ")[2] != units.pressure else ""
    return (
        Line(gettext("rated, as written%(other_unit)s") % {"other_unit": other_unit}, typed or said),
        Line(
            gettext("hold test, rated × %(factor)s") % {"factor": written(f"{factor:.2f}")},
            say_pressure(test, units),
        ),
        Line(
            gettext("hoop tension at the centre in the test"),
            say_line_load(hoop_tension(test, radius), units),
        ),
    )


def test_pressure(pattern: Pattern, factor: Decimal, units: Units) -> str:
    """The pressure of the hold test on the shop's gauge."""
    return say_pressure(pattern.rated_pressure_pa * float(factor), units)


def _tubes(pattern: Pattern, units: Units) -> Iterable[Line]:
    drawn, assumed = planform(pattern), set(pattern.assumed)
    yield Line(gettext("Leading edge"), _across(drawn.leading_edge, units), "leading_edge" in assumed)
    pairs = 0
    for strut in drawn.struts:
        pairs += not strut.is_centre
        name = (
            gettext("Centre strut")
            if strut.is_centre
            else gettext("%(capitalize)s struts") % {"capitalize": ordinal(pairs).capitalize()}
        )
        yield Line(name, _across(strut.tube, units), "struts" in assumed)


def _across(tube: TubeFigures, units: Units) -> str:
    """Both diameters, the unit said once where it is the same."""
    root, tip = (say_length(metres, units) for metres in (tube.diameter_root_m, tube.diameter_tip_m))
    figure, _, unit = root.rpartition(" ")
    return gettext("%(value)s to %(tip)s") % {
        "value": figure if tip.endswith(f" {unit}") else root,
        "tip": tip,
    }
