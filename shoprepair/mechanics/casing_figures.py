"""The arithmetic of a casing laid open: inputs first, then each step by the names of those before it."""

from shoprepair.mechanics.air import ZERO_CELSIUS_K
from shoprepair.mechanics.cutting import ALONG, AROUND, STRENGTH, TENSION, Pull
from shoprepair.mechanics.description import Figure, LoadCases, Pattern
from shoprepair.mechanics.lift_figures import of_the_leading_edge
from shoprepair.mechanics.loads import Load, Site, bridle_supports
from shoprepair.mechanics.outcome import (
    ANSWER,
    CASES,
    CLOTH,
    MEMBRANE,
    PATTERN,
    given,
    step,
    times,
)
from shoprepair.mechanics.tube import collapse_moment
from shoprepair.mechanics.words import gettext_noop

_BENDING = "Comer & Levy 1963"
_COLLAPSE = gettext_noop("NASA TN D-457")
_ON_BRIDLE = gettext_noop(
    "lift of the leading edge, spread as an ellipse, "
    "on the bridle points as a continuous beam, at the distance from the centre"
)
_ON_CENTRE = gettext_noop(
    "lift of the leading edge, spread as an ellipse, held at the centre, at the distance from the centre"
)
_BENDING_RIDING = gettext_noop("bending, riding")
_BENDING_LOST = gettext_noop("bending, one inner bridle point lost")
_TAUT = {
    "": (
        gettext_noop("rated pressure × radius ÷ 2"),
        gettext_noop("rated pressure × radius ÷ 2, just before the tube folds"),
    ),
    _BENDING_RIDING: (
        gettext_noop("rated pressure × radius ÷ 2, and what bending, riding adds on the taut side"),
        gettext_noop(
            "rated pressure × radius ÷ 2, and what bending, riding adds on the taut side, "
            "just before the tube folds"
        ),
    ),
    _BENDING_LOST: (
        gettext_noop(
            "rated pressure × radius ÷ 2, and what bending, one inner bridle point lost adds on the taut side"
        ),
        gettext_noop(
            "rated pressure × radius ÷ 2, and what bending, one inner bridle point lost "
            "adds on the taut side, just before the tube folds"
        ),
    ),
}
"""By which bending adds to the tension: as it is, and where the tube folds first."""


def of_the_loads(pattern: Pattern, at: Site, cases: LoadCases) -> list[Figure]:
    """From the rated pressure, the radius and the lift to the tensions of every case."""
    guessed = "rated_pressure_pa" in pattern.assumed
    return [
        given(gettext_noop("rated pressure"), pattern.rated_pressure_pa, "Pa", PATTERN, assumed=guessed),
        given(gettext_noop("radius"), at.here.radius_m, "m", PATTERN, assumed=_tube_guessed(pattern, at)),
        *_bending(pattern, at, cases),
        step(
            gettext_noop("tension around, riding"),
            at.riding.hoop_n_per_m,
            "N/m",
            gettext_noop("rated pressure × radius"),
            MEMBRANE,
        ),
        _taut(at.riding, _BENDING_RIDING if at.here.station is not None else ""),
        *_heat(at, cases),
        *_point_lost(at.point_lost),
    ]


def of_the_strength(pattern: Pattern, at: Site, pull: Pull, shares: list[Figure]) -> list[Figure]:
    """From the cloth's strip strength to what is left of it."""
    cloth = pattern.casing
    strip = cloth.strength_warp_n_per_m if pull.direction == AROUND else cloth.strength_weft_n_per_m
    return [
        given(STRENGTH[pull.direction], strip, "N/m", CLOTH, assumed=not cloth.measured),
        given(gettext_noop("plies"), at.here.plies, "", PATTERN),
        *shares,
        step(
            gettext_noop("strength left"),
            pull.strength_n_per_m,
            "N/m",
            times(f"{STRENGTH[pull.direction]} × plies", shares),
            CLOTH,
        ),
    ]


def _tube_guessed(pattern: Pattern, at: Site) -> bool:
    return ("leading_edge" if at.here.station is not None else "struts") in pattern.assumed


def _bending(pattern: Pattern, at: Site, cases: LoadCases) -> list[Figure]:
    if at.here.station is None:
        return []
    collapse = collapse_moment(at.riding.pressure_pa, at.here.radius_m)
    bridled = bool(bridle_supports(pattern))
    return [
        *of_the_leading_edge(pattern, cases),
        given(gettext_noop("distance from the centre"), at.here.station * pattern.span_m / 2, "m", ANSWER),
        step(
            _BENDING_RIDING,
            at.riding.moment_nm,
            "N m",
            _ON_BRIDLE if bridled else _ON_CENTRE,
            gettext_noop("three-moment equation, Clapeyron 1857")
            if bridled
            else gettext_noop("lifting-line theory"),
            assumed=True,
        ),
        step(
            gettext_noop("bending at collapse"),
            collapse,
            "N m",
            gettext_noop("π × rated pressure × radius cubed"),
            _COLLAPSE,
        ),
    ]


def _taut(load: Load, moment: str) -> Figure:
    formula = _TAUT[moment][load.folds]
    return step(TENSION[ALONG, load.case], load.axial_n_per_m, "N/m", formula, _BENDING)


def _heat(at: Site, cases: LoadCases) -> list[Figure]:
    hot = at.hot
    return [
        given(gettext_noop("pumped at"), cases.fill_celsius + ZERO_CELSIUS_K, "K", CASES, assumed=True),
        given(gettext_noop("heated to"), cases.hot_celsius + ZERO_CELSIUS_K, "K", CASES, assumed=True),
        step(
            gettext_noop("pressure, hot beach"),
            hot.pressure_pa,
            "Pa",
            gettext_noop("rated pressure with the air's own, × heated to ÷ pumped at"),
            gettext_noop("ideal gas"),
        ),
        step(
            gettext_noop("tension around, hot beach"),
            hot.hoop_n_per_m,
            "N/m",
            gettext_noop("pressure, hot beach × radius"),
            MEMBRANE,
        ),
        step(
            gettext_noop("tension along, hot beach"),
            hot.axial_n_per_m,
            "N/m",
            gettext_noop("pressure, hot beach × radius ÷ 2"),
            MEMBRANE,
        ),
    ]


def _point_lost(lost: Load | None) -> list[Figure]:
    if lost is None:
        return []
    how = gettext_noop("lift of the leading edge on the bridle points that are left, on the worse half")
    return [
        step(
            _BENDING_LOST,
            lost.moment_nm,
            "N m",
            how,
            gettext_noop("three-moment equation, Clapeyron 1857"),
            assumed=True,
        ),
        _taut(lost, _BENDING_LOST),
    ]
