"""A pattern from the few figures that the counter can take off an inflatable that the library lacks."""

from typing import Any

from django.utils.translation import gettext

from shoprepair.gear.geometry import planform_area
from shoprepair.gear.planform import Planform, StrutFigures, TubeFigures
from shoprepair.mechanics.description import Kind

ASSUMED = (
    "area_m2",
    "chord_centre_m",
    "chord_tip_m",
    "sweep_m",
    "struts",
    "casing",
    "canopy",
    "seam_efficiency",
)
CHORD_SHARE = {Kind.WING: 0.55, Kind.KITE: 0.285}
"""Centre chord over span: 0.53–0.59 over the library's wings, 0.26–0.29 over its kites."""
SWEEP_SHARE = {Kind.WING: 0.27, Kind.KITE: 0.28}
TIP_SHARE = {Kind.WING: 0.065, Kind.KITE: 0.057}
STRUT_SHARE = {Kind.WING: 0.71, Kind.KITE: 0.56}
"""Centre strut's diameter over the leading edge's at the centre."""
STRUT_TAPER = 0.58
OUTER_STRUT_SHARE = 0.8
STRUT_SPREAD = {Kind.WING: 0.46, Kind.KITE: 0.8}
"""Station of the outermost strut."""
BRIDLE_STATIONS = (0.2, 0.43, 0.67, 0.87)
HANDLES = ((0.19, 0.41), (0.57, 0.78))
BOOM = ((0.17, 0.79),)
SEAMS = (0.36, 0.66)


def check(
    kind: Kind,
    support: str,
    span_m: float,
    centre_m: float,
    tip_m: float,
    pressure_pa: float,
    struts: int,
) -> None:
    """Raise ValueError with one sentence where figures cannot belong to an inflatable."""
    if not 1 <= span_m <= 14:
        raise ValueError(gettext("A span lies between 1 and 14 m, tip to tip."))
    if not 0.05 <= centre_m <= 0.45:
        raise ValueError(gettext("A leading edge measures between 50 and 450 mm across at the centre."))
    if not 0.03 <= tip_m <= centre_m:
        raise ValueError(
            gettext("At the tip a leading edge measures at least 30 mm and no more than at the centre.")
        )
    if not 10_000 <= pressure_pa <= 200_000:
        raise ValueError(gettext("A rated pressure lies between 0.1 and 2 bar (1.5 and 29 psi)."))
    if not 1 <= struts <= 9:
        raise ValueError(gettext("An inflatable has between one and nine struts."))
    if support != "bridled" and struts % 2 == 0:
        raise ValueError(gettext("Held gear has a strut at the centre, so its struts are odd in number."))
    if centre_m > 0.5 * CHORD_SHARE[kind] * span_m:
        raise ValueError(gettext("That leading edge is too thick for that span; one of the two is a slip."))


def row(
    *, kind: Kind, support: str, pumping: str, span_m: float, centre_m: float, tip_m: float, struts: int
) -> dict[str, Any]:
    """The figures of a pattern as they would stand in the library's file, the untold ones by proportion."""
    figures: dict[str, Any] = {
        "kind": kind.value,
        "support": support,
        "pumping": pumping,
        "span_m": span_m,
        "chord_centre_m": round(CHORD_SHARE[kind] * span_m, 3),
        "chord_tip_m": round(max(TIP_SHARE[kind] * span_m, 0.75 * tip_m), 3),
        "sweep_m": round(SWEEP_SHARE[kind] * span_m, 3),
        "segments": max(5, round(span_m * 2 if kind is Kind.WING else span_m * 1.2)),
        "canopy_seams": list(SEAMS),
        "bridle_stations": list(BRIDLE_STATIONS) if support == "bridled" else [],
        "handle_shares": {"handles": [list(h) for h in HANDLES], "boom": [list(h) for h in BOOM]}.get(
            support, []
        ),
        "leading_edge": {"diameter_root_m": centre_m, "diameter_tip_m": tip_m, "doublings": []},
        "struts": struts_of(kind, centre_m, struts),
        "windows": [],
    }
    figures["valves"] = valves_of(kind, pumping, figures["struts"])
    figures["area_m2"] = round(planform_area(drawn(figures)), 2)
    return figures


def struts_of(kind: Kind, centre_m: float, count: int) -> list[dict[str, Any]]:
    """Struts spread evenly from the centre to the outermost; an even count has none at the centre."""
    pairs = count // 2
    widest = STRUT_SHARE[kind] * centre_m
    firsts = [0.0] if count % 2 else []
    outwards = [n + 1.0 if firsts else n + 0.5 for n in range(pairs)]
    stations = firsts + [round(STRUT_SPREAD[kind] * n / outwards[-1], 4) for n in outwards]
    return [_strut(station, widest, STRUT_SPREAD[kind]) for station in stations]


def _strut(station: float, widest_m: float, spread: float) -> dict[str, Any]:
    root = widest_m * (1 - (1 - OUTER_STRUT_SHARE) * station / spread)
    return {
        "station": station,
        "diameter_root_m": round(root, 4),
        "diameter_tip_m": round(root * STRUT_TAPER, 4),
        "doublings": [],
    }


def valves_of(kind: Kind, pumping: str, struts: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """One inflation and one dump valve on the leading edge; a hose or a valve of its own at each strut."""
    dump = 0.55 if kind is Kind.WING else -0.93
    valves: list[dict[str, Any]] = [
        {"kind": "inflation", "station": 0.075, "strut_share": None},
        {"kind": "dump", "station": dump, "strut_share": None},
    ]
    at_struts, share = ("hose", 0.045) if pumping == "linked" else ("inflation", 0.07)
    for strut in struts:
        for station in sorted({-strut["station"], strut["station"]}):
            valves.append({"kind": at_struts, "station": station, "strut_share": share})
    return valves


def drawn(figures: dict[str, Any]) -> Planform:
    """The planform of such a row."""
    edge = figures["leading_edge"]
    return Planform(
        name="",
        kind=Kind(figures["kind"]),
        held=figures["support"] != "bridled",
        boom=False,
        linked=True,
        span_m=figures["span_m"],
        chord_centre_m=figures["chord_centre_m"],
        chord_tip_m=figures["chord_tip_m"],
        sweep_m=figures["sweep_m"],
        segments=figures["segments"],
        leading_edge=TubeFigures(
            diameter_root_m=edge["diameter_root_m"], diameter_tip_m=edge["diameter_tip_m"]
        ),
        struts=tuple(
            StrutFigures(
                station=s["station"],
                tube=TubeFigures(diameter_root_m=s["diameter_root_m"], diameter_tip_m=s["diameter_tip_m"]),
            )
            for s in figures["struts"]
        ),
    )
