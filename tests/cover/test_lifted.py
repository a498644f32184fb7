"""A band that stands above its load ratio is said with the rule that put it there."""

from typing import Any

import pytest

from shoprepair.cover.lifted import lifting_rule
from shoprepair.cover.reading import read
from shoprepair.mechanics.description import Band, FindingKind
from tests.cover.covering import covered

pytestmark = pytest.mark.django_db


def mended(**figures: Any) -> Any:
    """One damage as a record keeps it, with other figures."""
    (one,) = read(covered()[0]).damages
    fields = {name: getattr(one, name) for name in one.__dataclass_fields__}
    return type(one)(**fields | figures)


@pytest.mark.parametrize(
    ("kind", "band", "said"),
    [
        (FindingKind.CUT, Band.REPAIR_FIRST, "Any cut in a casing is shop work"),
        (FindingKind.HOLE, Band.REPAIR_FIRST, "Any cut in a casing is shop work"),
        (FindingKind.SEAM_OPENED, Band.REPAIR_FIRST, "Any opened casing seam"),
        (FindingKind.SCUFF, Band.REPAIR_FIRST, "A scuff that folds to an edge"),
        (FindingKind.STAIN, Band.REPAIR_FIRST, "A rule of the trade puts it higher"),
        (FindingKind.BURST, Band.GROUNDED, "A burst is Grounded"),
        (FindingKind.SEAM_OPENED, Band.GROUNDED, "longer than the tube's radius"),
    ],
)
def test_what_was_banded_above_its_ratio_names_the_rule(kind: FindingKind, band: Band, said: str) -> None:
    rule = lifting_rule(mended(kind=kind, band=band, load_ratio=0.22))
    assert rule is not None
    assert said in rule.text


@pytest.mark.parametrize(
    ("band", "ratio"),
    [
        (Band.REPAIR_FIRST, 0.5),
        (Band.REPAIR_FIRST, 1.2),
        (Band.WATCH, 0.1),
        (Band.REPAIR_FIRST, None),
        ("", 0.3),
    ],
)
def test_where_the_figures_decided_no_rule_is_named(band: str, ratio: float | None) -> None:
    assert lifting_rule(mended(band=band, load_ratio=ratio)) is None
