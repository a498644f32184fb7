"""What the numbers refuse is said in the language of whoever reads it; the numbers themselves know none."""

import pytest
from django.utils import translation

from shoprepair.gear import changes
from shoprepair.gear.models import Pattern
from shoprepair.jobs import assessment
from shoprepair.mechanics.domain import Refused, need, positive, within
from shoprepair.shop import domain
from shoprepair.shop.units import Units, say, sentence
from tests.pricing.mending import a_job, on_the_edge, stocked


def refused(*, by, **figure) -> Refused:
    with pytest.raises(Refused) as caught:
        by(**figure)
    return caught.value


def test_a_refusal_of_the_numbers_is_english_with_its_words_and_its_values():
    found = refused(by=positive, value=0, what="rated pressure")

    assert str(found) == "The rated pressure must be more than zero."
    assert (found.text, found.values) == ("The %(what)s must be more than zero.", {"what": "rated pressure"})


@pytest.mark.parametrize(
    ("by", "figure"),
    [
        (positive, {"value": 0, "what": "rated pressure"}),
        (within, {"value": 2, "what": "station"}),
        (need, {"holds": False, "otherwise": "The pattern has no such strut."}),
    ],
)
@pytest.mark.parametrize("language", ["de", "es"])
def test_whoever_reads_another_language_reads_no_english_in_a_refusal(by, figure, language):
    found = refused(by=by, **figure)
    with translation.override(language):
        told = domain.said(found)

    assert told != str(found)
    assert figure.get("what", "The") not in told


def test_any_other_refusal_keeps_its_own_words():
    assert domain.said(ValueError("Nobody knows.")) == "Nobody knows."


@pytest.mark.django_db
def test_a_damage_that_cannot_be_judged_says_why_to_each_reader_in_their_language():
    stocked()
    damage = on_the_edge(a_job(), 0.3, "cut", mm=40)
    damage.station = 3.0
    with translation.override("de"):
        assert assessment.assess_damage(damage) is None
        german = say(sentence(damage.reason), Units())

    assert damage.reason["text"] == "The station must lie between 0 and 1."
    assert say(sentence(damage.reason), Units()) == "The station must lie between 0 and 1."
    assert "station" not in german
    assert german.startswith("Zwischen 0 und 1")


@pytest.mark.django_db
def test_a_pattern_that_the_numbers_refuse_is_refused_in_the_language_of_whoever_draws_it():
    stocked()
    pattern = Pattern.objects.all()[0]
    pattern.rated_pressure_pa = 0.0
    with translation.override("es"), pytest.raises(ValueError, match="presión") as caught:
        changes.check(pattern)

    assert "rated pressure" not in str(caught.value)
