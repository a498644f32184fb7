"""Readings that cannot be right: a dead gauge, air that came from nowhere, two figures for one moment."""

from collections.abc import Iterator
from itertools import combinations, pairwise

from django.utils.translation import gettext_noop

from shoprepair.mechanics.description import Quantity, Sentence
from shoprepair.shop.said import gettext
from shoprepair.work.readings import Reading, Sureness, most_unsure, unit_of
from shoprepair.work.saying import moment
from shoprepair.work.sealed import TestedTube, brought_back, expected, outside

SLIPS = {
    gettext_noop(" Was it bar for psi, or psi for bar?"): 14.5038,
    gettext_noop(" Was it kPa for psi, or psi for kPa?"): 6.89476,
    gettext_noop(" Was it kPa for bar?"): 100.0,
}
SLIP_WITHIN = 0.12
WEATHER_AFTER_S = 6 * 3600.0
WEATHER_PA = 1000.0
"""What a passing front takes off the air around within hours [assumed]; the gauge shows it the other way."""


def doubt(
    groups: list[list[Reading]], means: list[Reading], tube: TestedTube, sure: Sureness
) -> Sentence | None:
    """Why these readings cannot be judged, or None. `groups` by time, `means` one reading for each."""
    for found in (
        _reads_nothing(means),
        _at_odds(groups, tube, sure),
        _air_from_nowhere(means, tube, sure),
        _stands_still(means, tube, sure),
    ):
        if found is not None:
            return found
    return None


def _reads_nothing(means: list[Reading]) -> Sentence | None:
    if means[0].pressure_pa > 0:
        return None
    return Sentence(
        gettext(
            "The first reading is 0: the gauge is not on the valve, or the tube is not pumped. "
            "Pump it to test pressure, see that the needle moves, and begin with that reading."
        )
    )


def _at_odds(groups: list[list[Reading]], tube: TestedTube, sure: Sureness) -> Sentence | None:
    for group in groups:
        for one, other in combinations(group, 2):
            if abs(_gained(one, other, tube)) > _most(one, other, tube, sure):
                return Sentence(
                    gettext(
                        "Two readings of %(at)s contradict each other: {one} and {other}.%(one)s "
                        "Take out the wrong one, or read again with one gauge."
                    )
                    % {"at": moment(one.at), "one": _slip(one, other)},
                    {"one": Quantity(one.pressure_pa, "Pa"), "other": Quantity(other.pressure_pa, "Pa")},
                )
    return None


def _air_from_nowhere(means: list[Reading], tube: TestedTube, sure: Sureness) -> Sentence | None:
    for before, after in pairwise(means):
        gained = _gained(before, after, tube)
        # An empty tube lies slack: the gauge stays at 0 as it cools, which the gas law does not know.
        if after.pressure_pa > 0 and gained > _most(before, after, tube, sure):
            return Sentence(
                gettext(
                    "By %(at)s the gauge rose {gained} more than the temperatures "
                    "explain.%(before)s Either it was pumped again or misread, or the casing lay "
                    "in the sun while the thermometer did not: measure on the casing, in the "
                    "shade, and begin anew."
                )
                % {"at": moment(after.at), "before": _slip(before, after)},
                {"gained": Quantity(gained, "Pa")},
            )
    return None


def _stands_still(means: list[Reading], tube: TestedTube, sure: Sureness) -> Sentence | None:
    """A needle that has not moved although warmth alone must have moved it by more than any error."""
    first = means[0]
    if len({reading.pressure_pa for reading in means}) > 1:
        return None
    for reading in means[1:]:
        by_itself = expected(first, reading.temperature_k, outside(reading, tube), tube)
        if abs(by_itself - first.pressure_pa) > _most(first, reading, tube, sure):
            return Sentence(
                gettext(
                    "The gauge stands still at {stood}, although the temperature alone takes a sound tube to "
                    "{expected}: it sticks, or the tube lost just what the warmth added. Tap it, or read "
                    "with another."
                ),
                {"stood": Quantity(first.pressure_pa, "Pa"), "expected": Quantity(by_itself, "Pa")},
            )
    return None


def notes(means: list[Reading], tube: TestedTube) -> Iterator[Sentence]:
    """What to bear in mind beside the verdict: warmth, another gauge, another height, the clocks, a zero."""
    first, last = means[0], means[-1]
    if abs(last.temperature_k - first.temperature_k) >= 1:
        yield _by_itself(first, last, tube)
    units = list(dict.fromkeys(filter(None, map(unit_of, means))))
    if len(units) > 1:
        yield Sentence(
            gettext(
                "The gauge was changed from %(units)s to %(units_2)s on the way: two gauges "
                "seldom agree, so a loss near the limit is worth a second look with the "
                "first one."
            )
            % {"units": units[0], "units_2": units[1]}
        )
    yield from _gone_by(first, last, tube)
    if any(reading.pressure_pa == 0 for reading in means[1:]):
        yield Sentence(
            gettext("The gauge reads 0: press the tube. If it is hard, the gauge is not on the valve.")
        )
    for before, after in pairwise(means):
        if slip := _slip(before, after):
            yield Sentence(
                gettext("The reading of %(at)s looks like a slip of units.%(slip)s")
                % {"at": moment(after.at), "slip": slip}
            )


def _gone_by(first: Reading, last: Reading, tube: TestedTube) -> Iterator[Sentence]:
    """What changed round the tube between two readings: its height, the clocks, perhaps the weather."""
    if outside(first, tube) != outside(last, tube):
        yield Sentence(
            gettext(
                "The tube was read at another height; the standard atmosphere is taken off, not the weather."
            )
        )
    if first.at.utcoffset() != last.at.utcoffset():
        seconds = (last.instant - first.instant).total_seconds()
        yield Sentence(
            gettext("The clocks were changed in between; {time} truly passed."),
            {"time": Quantity(seconds, "s")},
        )
    if (last.instant - first.instant).total_seconds() >= WEATHER_AFTER_S:
        yield Sentence(
            gettext(
                "Over so long a time the weather alone can move the gauge by about {weather} either way."
            ),
            {"weather": Quantity(WEATHER_PA, "Pa")},
        )


def _by_itself(first: Reading, last: Reading, tube: TestedTube) -> Sentence:
    now = expected(first, last.temperature_k, outside(first, tube), tube)
    return Sentence(
        gettext(
            "The air warmed from {before} to {after}; that alone takes a sound tube from {first} to {now}."
        )
        if last.temperature_k > first.temperature_k
        else gettext(
            "The air cooled from {before} to {after}; that alone takes a sound tube from {first} to {now}."
        ),
        {
            "before": Quantity(first.temperature_k, "K"),
            "after": Quantity(last.temperature_k, "K"),
            "first": Quantity(first.pressure_pa, "Pa"),
            "now": Quantity(now, "Pa"),
        },
    )


def _gained(before: Reading, after: Reading, tube: TestedTube) -> float:
    """Pa by which the air in the tube seems to have grown, at the earlier temperature."""
    return brought_back(before, after, tube) - before.pressure_pa


def _most(one: Reading, other: Reading, tube: TestedTube, sure: Sureness) -> float:
    return sum(most_unsure(reading, outside(reading, tube), sure) for reading in (one, other))


def _slip(one: Reading, other: Reading) -> str:
    """The question whether two figures differ by a unit, with a blank before it; empty where they do not."""
    low, high = sorted((one.pressure_pa, other.pressure_pa))
    if low > 0:
        for what, times in SLIPS.items():
            if abs(high / low / times - 1) < SLIP_WITHIN:
                return gettext(what)
    return ""
