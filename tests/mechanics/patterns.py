"""Invented wings and kites that the tests of the numbers work on."""

from dataclasses import replace

from shoprepair.mechanics.description import Cloth, Kind, Pattern, Strut, Tube

CASING = Cloth(
    name="polyester casing cloth",
    strength_warp_n_per_m=35000.0,
    strength_weft_n_per_m=35000.0,
    yarns_warp_per_m=2400.0,
    yarns_weft_per_m=2400.0,
    stiffness_n_per_m=645000.0,
)
CANOPY = Cloth(
    name="ripstop canopy cloth",
    strength_warp_n_per_m=9000.0,
    strength_weft_n_per_m=8000.0,
    yarns_warp_per_m=4400.0,
    yarns_weft_per_m=4000.0,
    stiffness_n_per_m=120000.0,
)
FILM = Cloth(
    name="window film",
    strength_warp_n_per_m=8000.0,
    strength_weft_n_per_m=8000.0,
    yarns_warp_per_m=0.0,
    yarns_weft_per_m=0.0,
    stiffness_n_per_m=200000.0,
)


def strut(station: float, root_m: float, length_m: float) -> Strut:
    tube = Tube(diameter_root_m=root_m, diameter_tip_m=root_m / 2, length_m=length_m)
    return Strut(station=station, tube=tube)


WING = Pattern(
    name="Sandpiper 5",
    kind=Kind.WING,
    held=True,
    area_m2=5.0,
    span_m=3.5,
    chord_centre_m=1.9,
    chord_tip_m=0.4,
    rated_pressure_pa=50000.0,
    leading_edge=Tube(diameter_root_m=0.24, diameter_tip_m=0.12, length_m=1.75),
    struts=(strut(0.0, 0.14, 1.8),),
    casing=CASING,
    canopy=CANOPY,
    window=FILM,
)
"""The hand-held wing of the worked example: 5 m², 3.5 m, 0.24 to 0.12 m, 0.5 bar."""

DOUBLED_WING = replace(
    WING,
    name="Sandpiper 5 reinforced",
    leading_edge=replace(WING.leading_edge, doublings=((0.0, 0.15),)),
)

THREE_STRUT_WING = replace(
    WING,
    name="Turnstone 6",
    area_m2=6.0,
    span_m=4.0,
    rated_pressure_pa=62000.0,
    leading_edge=Tube(diameter_root_m=0.22, diameter_tip_m=0.09, length_m=2.15),
    struts=(strut(0.0, 0.15, 1.9), strut(0.5, 0.11, 1.2)),
    linked=False,
    window=None,
    seam_efficiency=0.7,
)

KITE = Pattern(
    name="Petrel 9",
    kind=Kind.KITE,
    held=False,
    area_m2=9.0,
    span_m=6.0,
    chord_centre_m=1.7,
    chord_tip_m=0.5,
    rated_pressure_pa=50000.0,
    leading_edge=Tube(diameter_root_m=0.20, diameter_tip_m=0.20, length_m=4.1),
    struts=(strut(0.0, 0.12, 1.5), strut(0.35, 0.10, 1.3), strut(0.7, 0.08, 0.9)),
    casing=CASING,
    canopy=CANOPY,
    bridle_stations=(0.2, 1.6 / 3, 2.6 / 3),
)
"""The bridled kite of the worked example: 9 m², 6 m projected, 0.20 m, bridle points at 0.6, 1.6, 2.6 m."""

TAPERED_KITE = replace(
    KITE,
    name="Petrel 12",
    area_m2=12.0,
    span_m=7.2,
    leading_edge=Tube(
        diameter_root_m=0.22, diameter_tip_m=0.08, length_m=5.0, doublings=((0.0, 0.05), (0.3, 0.36))
    ),
    struts=(strut(0.0, 0.12, 1.7), strut(0.4, 0.10, 1.4)),
    bridle_stations=(0.15, 0.45, 0.8),
    window=FILM,
    linked=False,
    assumed=frozenset({"bridle_stations", "rated_pressure_pa"}),
)

UNBRIDLED_KITE = replace(KITE, name="Petrel 7, bridle unknown", area_m2=7.0, bridle_stations=())

STRUTLESS_KITE = replace(KITE, name="Shearwater 5", area_m2=5.0, span_m=4.4, struts=())

PATTERNS = (WING, DOUBLED_WING, THREE_STRUT_WING, KITE, TAPERED_KITE, UNBRIDLED_KITE, STRUTLESS_KITE)
