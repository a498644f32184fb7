import pytest
from django.utils import translation

from shoprepair.jobs import words
from shoprepair.jobs.assessment import assess_damage
from shoprepair.jobs.models import Damage
from shoprepair.shop.units import Units
from tests.factories import DamageFactory, JobFactory

pytestmark = pytest.mark.django_db
METRIC = Units()
IMPERIAL = Units(pressure="psi", length="in", temperature="°F")


def found(**facts: object) -> str:
    return words.finding_words(Damage(**facts), METRIC)


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({}, "Not described yet"),
        (
            {"kind": "cut", "length_m": 0.035, "length_typed": "35 mm", "direction": "around"},
            "35 mm cut around",
        ),
        ({"kind": "cut", "direction": "along"}, "Cut along"),
        ({"kind": "cut", "length_m": 0.2, "length_typed": "20 cm"}, "200 mm cut"),
        ({"kind": "tear", "length_m": 1.2, "direction": "at an angle"}, "1.20 m tear at an angle"),
        ({"kind": "hole", "length_m": 0.004}, "4 mm hole"),
        ({"kind": "crack", "length_m": 0.1}, "100 mm crack"),
        ({"kind": "scuff", "fold": "folds to an edge"}, "Scuff that folds to an edge"),
        ({"kind": "scuff", "length_m": 0.1}, "Scuff over 100 mm"),
        ({"kind": "seam opened", "length_m": 0.3}, "Seam opened over 300 mm"),
        ({"kind": "burst"}, "Burst"),
        ({"kind": "leak"}, "Leak"),
        ({"kind": "stitching gone"}, "Stitching gone"),
        ({"kind": "residue"}, "Residue of an old patch"),
        ({"kind": "residue", "under_kind": "cut"}, "Residue of an old patch over a cut"),
    ],
)
def test_a_finding_is_said_in_the_shops_words(facts: dict[str, object], said: str) -> None:
    assert found(**facts) == said


@pytest.mark.parametrize(
    ("language", "said"),
    [("es", "Corte de 120 mm alrededor"), ("de", "120 mm Schnitt rundum")],
)
def test_a_length_stands_by_the_damage_and_its_way_after_both_in_every_language(language, said):
    with translation.override(language):
        assert found(kind="cut", length_m=0.12, direction="around") == said


@pytest.mark.parametrize(
    ("direction", "said"),
    [
        ("along", "140 mm tear along the span"),
        ("around", "140 mm tear from front to back"),
        ("at an angle", "140 mm tear at an angle"),
        ("not said", "140 mm tear"),
    ],
)
def test_a_tear_in_the_canopy_runs_along_the_span_or_from_front_to_back(direction, said) -> None:
    assert found(kind="tear", length_m=0.14, direction=direction, element="canopy") == said


def test_a_damage_is_one_line_of_what_how_long_and_where() -> None:
    damage = DamageFactory(direction="around", x_m=0.4, station=0.4 / 1.75)
    assert words.damage_title(damage, METRIC).startswith("35 mm cut around, leading edge, 4")
    assert words.damage_title(damage, METRIC).endswith(" mm right of centre")
    assert words.damage_title(damage, IMPERIAL).startswith("1 3/8 in cut around, leading edge, 1")
    assert words.short_place_words(damage) == "leading edge right"
    assert words.size_words(damage, IMPERIAL) == "1 3/8 in"


def test_the_rack_speaks_of_the_worst_damage_and_counts_the_others() -> None:
    job = JobFactory()
    mild = DamageFactory(job=job, number=1, kind="scuff", fold="stays round", length_m=None)
    worst = DamageFactory(job=job, number=2, kind="burst", length_m=None)
    third = DamageFactory(job=job, number=3, kind="leak", length_m=None)
    for damage in (mild, worst, third):
        assess_damage(damage)
    plain, deciding = words.what_is_wrong(job, [mild, worst, third], METRIC)
    assert plain.startswith("Burst, leading edge, ")
    assert plain.endswith(", and 2 more damages.")
    assert deciding.endswith(".")
    assert words.what_is_wrong(job, [mild, worst], METRIC)[0].endswith(", and 1 more damage.")


def test_a_job_with_nothing_pinned_says_so() -> None:
    assert words.what_is_wrong(JobFactory(), [], METRIC) == ("Nothing is pinned yet.", "")


def test_the_deciding_figure_is_in_the_readers_units() -> None:
    damage = DamageFactory(direction="around")
    assess_damage(damage)
    assert " mm" in words.what_is_wrong(damage.job, [damage], METRIC)[1]
    assert " in" in words.what_is_wrong(damage.job, [damage], IMPERIAL)[1]
    assert "mm" not in words.what_is_wrong(damage.job, [damage], IMPERIAL)[1]


@pytest.mark.parametrize(
    ("facts", "missing"),
    [
        ({"kind": ""}, "Say what kind of damage it is."),
        ({"length_m": None}, "Measure it from end to end, such as 35 mm."),
        (
            {"element": "handle", "kind": "stitching gone", "length_m": None},
            "Measure the stitching that still holds.",
        ),
        ({}, ""),
        ({"kind": "burst", "length_m": None}, ""),
    ],
)
def test_what_is_still_to_be_answered_is_said(facts: dict[str, object], missing: str) -> None:
    assert words.missing_words(DamageFactory(**facts), METRIC) == missing


def test_an_unmeasured_cut_is_judged_at_its_worst_and_asks_to_be_measured() -> None:
    damage = DamageFactory(length_m=None, length_typed="")
    assess_damage(damage)
    deciding = words.what_is_wrong(damage.job, [damage], METRIC)[1]
    assert deciding.endswith(". Measure it from end to end, such as 35 mm.")


def test_a_damage_that_cannot_be_judged_says_why() -> None:
    damage = DamageFactory(element="canopy", kind="burst", cell=0, fraction=0.3, y_m=0.5)
    assess_damage(damage)
    assert words.what_is_wrong(damage.job, [damage], METRIC)[1] == damage.reason["text"]


def test_a_damage_that_nobody_measured_is_said_without_a_length():
    damage = DamageFactory(length_m=None, length_typed="")
    said = words.finding_sentence(damage)
    assert (said.values, "{" in said.text) == ({}, False)
