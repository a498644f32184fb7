"""The plain figures of a pattern that geometry and drawing need: frozen, in SI units, free of Django."""

from dataclasses import dataclass, field

from shoprepair.mechanics.description import Kind

SIDES = ("left", "right")


@dataclass(frozen=True, kw_only=True, slots=True)
class TubeFigures:
    """A tube tapering linearly from its root (the centre, or the leading edge) to its tip."""

    diameter_root_m: float
    diameter_tip_m: float
    doublings: tuple[tuple[float, float], ...] = ()
    """Stretches of two plies, as fractions of a strut, as stations of a leading edge."""

    def radius(self, share: float) -> float:
        """Radius in m at a share 0..1 of the tube's length."""
        return 0.5 * (self.diameter_root_m + share * (self.diameter_tip_m - self.diameter_root_m))

    def is_doubled(self, share: float) -> bool:
        """Whether the casing is two plies there."""
        return any(low <= share <= high for low, high in self.doublings)


@dataclass(frozen=True, kw_only=True, slots=True)
class StrutFigures:
    station: float
    """Where it meets the leading edge: 0 the centre strut, else a pair at ± this station."""
    tube: TubeFigures

    @property
    def is_centre(self) -> bool:
        return self.station == 0


@dataclass(frozen=True, kw_only=True, slots=True)
class Fitting:
    """A valve or hose: on the leading edge at a signed station, or at a share of the strut there."""

    kind: str
    """inflation, dump or hose."""
    station: float
    """Signed: negative on the left."""
    strut_share: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Planform:
    """What a pattern looks like laid flat, seen from above, the leading edge at the top."""

    name: str = field(compare=False)
    """Two that are cut alike are drawn alike, whatever they are called."""
    kind: Kind
    held: bool
    boom: bool
    """Held by a boom rather than by handles."""
    linked: bool
    span_m: float
    """Projected, from the leading edge's centreline at one tip to that at the other."""
    chord_centre_m: float
    chord_tip_m: float
    sweep_m: float
    """How far the tip's centreline lies behind the centre's."""
    segments: int
    """Cut segments of one half leading edge."""
    leading_edge: TubeFigures
    struts: tuple[StrutFigures, ...]
    """From the centre outwards."""
    canopy_seams: tuple[float, ...] = ()
    """Chord shares of the spanwise seams, from the leading edge aft."""
    bridle_stations: tuple[float, ...] = ()
    handle_shares: tuple[tuple[float, float], ...] = ()
    windows: tuple[tuple[int, int], ...] = ()
    """(cell, row) of the clear panels, mirrored."""
    fittings: tuple[Fitting, ...] = ()

    @property
    def half_span_m(self) -> float:
        return self.span_m / 2

    @property
    def is_kite(self) -> bool:
        return self.kind is Kind.KITE

    @property
    def rows(self) -> int:
        """How many rows of panels lie between the leading and the trailing edge."""
        return len(self.canopy_seams) + 1
