"""Patterns of the library, as the plain values that drawing and mechanics work on.

Both are kept by the pattern's key and version, so that a list of jobs asks the database once a pattern.
"""

from collections.abc import Callable, Iterable
from hashlib import sha256
from typing import Any, Protocol, TypeVar

from django.db.models import prefetch_related_objects

from shoprepair.gear import models
from shoprepair.gear.curve import centreline
from shoprepair.gear.planform import Fitting, Planform, StrutFigures, TubeFigures
from shoprepair.gear.shape import shape
from shoprepair.mechanics import description as plain

MOST_KEPT = 2000
BOOM_ENDS = 2
"""A boom passes its load through both its ends."""

Read = TypeVar("Read")


class Keyed(Protocol):
    """By what a pattern's drawing is kept, whether all of the pattern was read or only this."""

    @property
    def pk(self) -> Any: ...
    @property
    def version(self) -> int: ...
    @property
    def name(self) -> str: ...
    @property
    def span_m(self) -> float: ...
    @property
    def rated_pressure_pa(self) -> float: ...


_planforms: dict[tuple[Any, ...], Planform] = {}
_descriptions: dict[tuple[Any, ...], plain.Pattern] = {}


def planform(pattern: models.Pattern) -> Planform:
    """The figures that geometry and drawing need."""
    return _kept(_planforms, pattern, _read_planform)


def description(pattern: models.Pattern) -> plain.Pattern:
    """The description that an assessment works on; tube lengths come from the drawing."""
    return _kept(_descriptions, pattern, _read_description)


def kept(pattern: Keyed) -> Planform | None:
    """The figures of a pattern whose drawing was asked for before; None where they must be read first."""
    return _planforms.get(_key(pattern))


def warm(patterns: Iterable[models.Pattern]) -> None:
    """Fetch the parts of all patterns that are not kept yet, in three statements together instead of each."""
    unknown = [pattern for pattern in patterns if _key(pattern) not in _planforms]
    prefetch_related_objects(unknown, "tubes", "panels", "valves")


def mark(pattern: Keyed) -> str:
    """Changes whenever the pattern would be drawn otherwise; tells without reading what it consists of."""
    return sha256(repr(_key(pattern)).encode()).hexdigest()[:16]


def forget() -> None:
    """Drop everything kept: a database that is rolled back gives its keys out again."""
    _planforms.clear()
    _descriptions.clear()


def _kept(
    store: dict[tuple[Any, ...], Read], pattern: models.Pattern, read: Callable[[models.Pattern], Read]
) -> Read:
    if pattern.pk is None:
        return read(pattern)
    key = _key(pattern)
    if key not in store:
        if len(store) >= MOST_KEPT:
            store.clear()
        store[key] = read(pattern)
    return store[key]


def _key(pattern: Keyed) -> tuple[Any, ...]:
    return (pattern.pk, pattern.version, pattern.name, pattern.span_m, pattern.rated_pressure_pa)


def _read_planform(pattern: models.Pattern) -> Planform:
    tubes = list(pattern.tubes.all())
    edge = next(t for t in tubes if t.kind == models.Tube.Kind.LEADING_EDGE)
    struts = sorted((t for t in tubes if t.kind == models.Tube.Kind.STRUT), key=lambda t: t.station)
    return Planform(
        name=pattern.name,
        kind=plain.Kind(pattern.kind),
        held=is_held(pattern),
        boom=pattern.support == models.Pattern.Support.BOOM,
        linked=is_linked(pattern),
        span_m=pattern.span_m,
        chord_centre_m=pattern.chord_centre_m,
        chord_tip_m=pattern.chord_tip_m,
        sweep_m=pattern.sweep_m,
        segments=pattern.segments,
        leading_edge=_figures(edge),
        struts=tuple(StrutFigures(station=t.station, tube=_figures(t)) for t in struts),
        canopy_seams=tuple(sorted(pattern.canopy_seams)),
        bridle_stations=tuple(sorted(pattern.bridle_stations)),
        handle_shares=tuple((low, high) for low, high in pattern.handle_shares),
        windows=tuple((p.cell, p.row) for p in pattern.panels.all() if p.window),
        fittings=tuple(
            Fitting(kind=v.kind, station=v.station, strut_share=v.strut_share) for v in pattern.valves.all()
        ),
    )


def _read_description(pattern: models.Pattern) -> plain.Pattern:
    drawn = planform(pattern)
    return plain.Pattern(
        name=pattern.name,
        kind=drawn.kind,
        held=drawn.held,
        area_m2=pattern.area_m2,
        span_m=pattern.span_m,
        chord_centre_m=pattern.chord_centre_m,
        chord_tip_m=pattern.chord_tip_m,
        rated_pressure_pa=pattern.rated_pressure_pa,
        leading_edge=_tube(drawn.leading_edge, centreline(drawn).length_m),
        struts=tuple(
            plain.Strut(station=strut.station, tube=_tube(strut.tube, _strut_length(drawn, i)))
            for i, strut in enumerate(drawn.struts)
        ),
        casing=_cloth(pattern.casing),
        canopy=_cloth(pattern.canopy),
        window=_cloth(pattern.window) if pattern.window else None,
        bridle_stations=drawn.bridle_stations,
        linked=drawn.linked,
        handle_count=BOOM_ENDS if drawn.boom else max(1, len(drawn.handle_shares)),
        seam_efficiency=pattern.seam_efficiency,
        assumed=frozenset(pattern.assumed),
    )


def is_held(pattern: models.Pattern) -> bool:
    """Whether the load leaves through the centre strut."""
    return bool(pattern.support != models.Pattern.Support.BRIDLED)


def is_linked(pattern: models.Pattern) -> bool:
    """Whether one inflation valve fills every tube."""
    return bool(pattern.pumping == models.Pattern.Pumping.LINKED)


def _figures(tube: models.Tube) -> TubeFigures:
    return TubeFigures(
        diameter_root_m=tube.diameter_root_m,
        diameter_tip_m=tube.diameter_tip_m,
        doublings=tuple((low, high) for low, high in tube.doublings),
    )


def _tube(figures: TubeFigures, length_m: float) -> plain.Tube:
    return plain.Tube(
        diameter_root_m=figures.diameter_root_m,
        diameter_tip_m=figures.diameter_tip_m,
        length_m=length_m,
        doublings=figures.doublings,
    )


def _strut_length(drawn: Planform, index: int) -> float:
    front, back = shape(drawn).strut_ends(index)
    return back - front


def _cloth(cloth: models.Cloth) -> plain.Cloth:
    return plain.Cloth(
        name=cloth.name,
        strength_warp_n_per_m=cloth.strength_warp_n_per_m,
        strength_weft_n_per_m=cloth.strength_weft_n_per_m,
        yarns_warp_per_m=cloth.yarns_warp_per_m,
        yarns_weft_per_m=cloth.yarns_weft_per_m,
        stiffness_n_per_m=cloth.stiffness_n_per_m,
        measured=cloth.measured,
    )
