import pytest

from shoprepair.jobs.meanwhile import meanwhile
from shoprepair.mechanics.description import Band
from tests.factories import DamageFactory


def judged(band, urgency):
    return DamageFactory.build(job=None, band=band.value, urgency=urgency, model_version="1")


@pytest.mark.parametrize(
    ("band", "answer"),
    [
        (Band.GROUNDED, "No."),
        (Band.REPAIR_FIRST, "No."),
        (Band.NEXT_SERVICE, "Yes, with care."),
        (Band.WATCH, "Yes."),
    ],
)
def test_the_band_answers_whether_it_may_be_used(band, answer):
    assert meanwhile([judged(band, 50)]).answer == answer


def test_the_worst_damage_speaks_for_all():
    found = meanwhile([judged(Band.WATCH, 10), judged(Band.GROUNDED, 90), judged(Band.NEXT_SERVICE, 40)])

    assert found.band == Band.GROUNDED
    assert "Do not inflate" in found.words


def test_what_nobody_has_judged_stays_packed():
    unjudged = DamageFactory.build(job=None, kind="", model_version="")

    assert meanwhile([]).answer == "Not yet."
    assert meanwhile([judged(Band.WATCH, 5), unjudged]).answer == "Not yet."
    assert meanwhile([judged(Band.GROUNDED, 95), unjudged]).answer == "No."
