from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shoprepair.gear import measured
from shoprepair.gear.diagram import regions
from shoprepair.gear.planform import Planform
from shoprepair.mechanics.description import Kind


def figures(**changed: Any) -> dict[str, Any]:
    told = {
        "kind": Kind.WING,
        "support": "handles",
        "span_m": 3.3,
        "centre_m": 0.22,
        "tip_m": 0.11,
        "pressure_pa": 5e4,
        "struts": 1,
    }
    return told | changed


@pytest.mark.parametrize(
    ("slip", "said"),
    [
        ({"span_m": 0.5}, "between 1 and 14 m"),
        ({"centre_m": 2.2}, "between 50 and 450 mm"),
        ({"tip_m": 0.3}, "no more than at the centre"),
        ({"pressure_pa": 7e6}, "between 0.1 and 2 bar"),
        ({"struts": 2}, "odd in number"),
        ({"struts": 12}, "between one and nine"),
        ({"span_m": 1.2, "centre_m": 0.4}, "too thick for that span"),
    ],
)
def test_figures_that_cannot_belong_together_get_one_sentence(slip: dict[str, Any], said: str) -> None:
    with pytest.raises(ValueError, match=said) as refused:
        measured.check(**figures(**slip))
    assert str(refused.value).endswith(".")


def test_plausible_figures_pass() -> None:
    measured.check(**figures())
    measured.check(**figures(kind=Kind.KITE, support="bridled", span_m=6.0, centre_m=0.2, struts=4))


def drawn(kind: Kind, span_m: float, centre_m: float, tip_share: float, struts: int) -> Planform:
    support = "handles" if kind is Kind.WING else "bridled"
    row = measured.row(
        kind=kind,
        support=support,
        pumping="linked",
        span_m=span_m,
        centre_m=centre_m,
        tip_m=max(0.03, tip_share * centre_m),
        struts=struts,
    )
    return measured.drawn(row)


@settings(max_examples=40, deadline=None)
@given(
    st.sampled_from(Kind),
    st.floats(2.2, 9.0),
    st.floats(0.03, 0.06),
    st.floats(0.4, 1.0),
    st.sampled_from([1, 3, 5]),
)
def test_whatever_is_measured_can_be_drawn_and_tapped(
    kind: Kind, span_m: float, thickness: float, tip_share: float, struts: int
) -> None:
    planform = drawn(kind, span_m, thickness * span_m, tip_share, struts)
    found = regions(planform)
    tubes = [region for region in found if region.id.startswith(("edge-", "strut-"))]
    assert len(tubes) == 2 * planform.segments + struts
    assert len({region.label for region in found}) == len(found)


def test_struts_spread_evenly_and_thin_outwards() -> None:
    struts = measured.struts_of(Kind.KITE, 0.2, 5)
    assert [strut["station"] for strut in struts] == [0.0, 0.4, 0.8]
    assert [strut["diameter_root_m"] for strut in struts] == sorted(
        (strut["diameter_root_m"] for strut in struts), reverse=True
    )


def test_an_even_number_of_struts_leaves_the_centre_free() -> None:
    assert [strut["station"] for strut in measured.struts_of(Kind.KITE, 0.2, 4)] == [0.2667, 0.8]
