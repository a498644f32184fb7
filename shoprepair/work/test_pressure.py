"""What a tube carries at test pressure, and who may allow it."""

from dataclasses import dataclass

from django.utils.translation import gettext

from shoprepair.mechanics.cautions import AIR, SCREENING
from shoprepair.mechanics.description import Figure, Quantity, Sentence
from shoprepair.mechanics.domain import need
from shoprepair.mechanics.outcome import CLOTH, MEMBRANE, PATTERN, given, step
from shoprepair.mechanics.tube import hoop_tension
from shoprepair.shop.domain import positive
from shoprepair.shop.languages import gettext_lazy

SAME_PRESSURE = 1e-6
"""Share by which a pressure may exceed the rated one through rounding alone."""
THREEFOLD = 3.0
"""Margin under which the answer says how thin it is [assumed]."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Casing:
    """The casing where the tube is widest."""

    radius_m: float
    strength_n_per_m: float
    """Strip strength of one ply, around the tube."""
    seam_efficiency: float = 0.66
    """Strength of the closing seam over that of the cloth."""


@dataclass(frozen=True, kw_only=True, slots=True)
class TestPressure:
    """What a test pressure asks of the casing."""

    __test__ = False  # no test of pytest's, though its name begins like one

    pressure_pa: float
    hoop_n_per_m: float
    share_of_cloth: float
    """Hoop tension over the strength of the cloth."""
    share_of_seam: float
    needs_owner: bool
    """More than rated: only the owner may allow it."""
    reason: Sentence
    reasons: tuple[Sentence, ...]
    cautions: tuple[Sentence, ...]
    figures: tuple[Figure, ...]


def at_pressure(pressure_pa: float, *, rated_pa: float, casing: Casing) -> TestPressure:
    """The hoop tension at a test pressure in Pa against what cloth and closing seam hold.

    Membrane theory: tension around the tube is pressure times radius. Raises ValueError with one sentence
    for a pressure at which the seam is expected to part, and for figures that no tube has.
    """
    positive(pressure_pa, gettext("test pressure"))
    positive(rated_pa, gettext("rated pressure"))
    positive(casing.strength_n_per_m, gettext("strength of the cloth"))
    need(0 < casing.seam_efficiency <= 1, gettext("The seam efficiency must be more than 0 and at most 1."))
    hoop = hoop_tension(pressure_pa, casing.radius_m)
    seam = casing.seam_efficiency * casing.strength_n_per_m
    need(
        hoop < seam, gettext("At that pressure the closing seam is expected to part; do not pump it so hard.")
    )
    over = pressure_pa > rated_pa * (1 + SAME_PRESSURE)
    share = hoop / casing.strength_n_per_m
    return TestPressure(
        pressure_pa=pressure_pa,
        hoop_n_per_m=hoop,
        share_of_cloth=share,
        share_of_seam=hoop / seam,
        needs_owner=over,
        reason=_reason(pressure_pa, hoop, share),
        reasons=tuple(_reasons(pressure_pa, rated_pa, hoop / seam, over)),
        cautions=(AIR, SCREENING),
        figures=_figures(pressure_pa, rated_pa, casing, hoop, seam),
    )


def _reason(pressure_pa: float, hoop: float, share: float) -> Sentence:
    return Sentence(
        gettext("At {pressure} the casing carries {hoop} around the tube: %(share)s of its cloth strength.")
        % {"share": _percent(share)},
        {"pressure": Quantity(pressure_pa, "Pa"), "hoop": Quantity(hoop, "N/m")},
    )


def _reasons(pressure_pa: float, rated_pa: float, share_of_seam: float, over: bool) -> list[Sentence]:
    said = [
        Sentence(
            gettext("The closing seam carries %(share_of_seam)s of what it holds.")
            % {"share_of_seam": _percent(share_of_seam)}
        )
    ]
    if share_of_seam * THREEFOLD > 1:
        said.append(
            Sentence(gettext("That is less than a threefold margin: keep everybody away while it stands."))
        )
    if over:
        said.append(
            Sentence(
                gettext("{pressure} is more than the rated {rated}: only the owner may allow it."),
                {"pressure": Quantity(pressure_pa, "Pa"), "rated": Quantity(rated_pa, "Pa")},
            )
        )
    return said


def _figures(
    pressure_pa: float, rated_pa: float, casing: Casing, hoop: float, seam: float
) -> tuple[Figure, ...]:
    return (
        given(gettext("test pressure"), pressure_pa, "Pa", gettext("the shop's settings")),
        given(gettext("rated pressure"), rated_pa, "Pa", PATTERN),
        given("radius", casing.radius_m, "m", PATTERN),
        step(gettext("hoop tension"), hoop, "N/m", gettext("test pressure × radius"), MEMBRANE),
        given(gettext("cloth strength"), casing.strength_n_per_m, "N/m", CLOTH),
        step(gettext("share of cloth strength"), hoop / casing.strength_n_per_m, "", _OVER_CLOTH, MEMBRANE),
        given(gettext("seam efficiency"), casing.seam_efficiency, "", PATTERN, assumed=True),
        step(
            gettext("share of the seam"),
            hoop / seam,
            "",
            gettext("hoop tension ÷ (seam efficiency × cloth strength)"),
            MEMBRANE,
        ),
    )


_OVER_CLOTH = gettext_lazy("hoop tension ÷ cloth strength")


def _percent(share: float) -> str:
    return f"{share:.0%}".replace("%", "\u00a0%")
