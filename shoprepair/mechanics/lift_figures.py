"""The lift of the riding case laid open."""

from functools import lru_cache

from shoprepair.mechanics.description import Figure, LoadCases, Pattern
from shoprepair.mechanics.loads import leading_edge_lift, lift
from shoprepair.mechanics.outcome import CASES, PATTERN, given, step
from shoprepair.mechanics.words import gettext_noop

_LIFT = gettext_noop("half the air's density × wind squared × gust factor × lift coefficient × area")
_LIFT_HELD = gettext_noop(
    "half the air's density × wind squared × gust factor × lift coefficient × area, "
    "at most what a rider can hold"
)


def of_the_wind(pattern: Pattern, cases: LoadCases) -> list[Figure]:
    """The riding case as the shop has set it."""
    held = pattern.held
    wind = cases.held_wind_m_per_s if held else cases.bridled_wind_m_per_s
    gust = cases.held_gust if held else cases.bridled_gust
    return [
        given("wind", wind, "m/s", CASES, assumed=True),
        given(gettext_noop("gust factor"), gust, "", CASES, assumed=True),
        given(gettext_noop("lift coefficient"), cases.lift_coefficient, "", CASES, assumed=True),
    ]


def of_the_whole_lift(pattern: Pattern, cases: LoadCases) -> list[Figure]:
    """From wind and area to the lift."""
    how = _LIFT_HELD if pattern.held else _LIFT
    return [
        *of_the_wind(pattern, cases),
        given("area", pattern.area_m2, "m2", PATTERN, assumed="area_m2" in pattern.assumed),
        step("lift", lift(pattern, cases), "N", how, gettext_noop("dynamic pressure of wind")),
    ]


@lru_cache(maxsize=512)
def of_the_leading_edge(pattern: Pattern, cases: LoadCases) -> tuple[Figure, ...]:
    """From wind and area to the part of the lift that the leading edge takes."""
    share = cases.held_share if pattern.held else cases.bridled_share
    taken = leading_edge_lift(pattern, cases)
    return (
        *of_the_whole_lift(pattern, cases),
        given(gettext_noop("leading edge's share"), share, "", CASES, assumed=True),
        step(
            gettext_noop("lift of the leading edge"),
            taken,
            "N",
            gettext_noop("lift × leading edge's share"),
            CASES,
        ),
    )
