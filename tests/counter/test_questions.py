"""What the counter asks about a damage, in the words of the place where it lies."""

import pytest

from shoprepair.counter.forms.damages import DamageForm
from shoprepair.counter.questions import Question, asked_about
from shoprepair.jobs.models import Damage
from shoprepair.shop.units import Units
from tests.factories import DamageFactory

pytestmark = pytest.mark.django_db
METRIC = Units()


def asked(damage: Damage) -> dict[str, Question]:
    form = DamageForm(units=METRIC)
    return {question.name: question for question in asked_about(damage, form, METRIC)}


def labels(question: Question) -> list[str]:
    return [str(option.label) for option in question.options]


def test_a_cut_in_a_tube_runs_along_or_around_it() -> None:
    damage = DamageFactory(kind="cut", direction="at an angle")
    questions = asked(damage)
    assert labels(questions["direction"])[:2] == ["along the tube", "around it"]
    assert questions["angle_deg"].hint == "From the tube’s length: 0° runs along it, 90° around."


def test_a_tear_in_the_canopy_is_asked_along_the_span_and_from_front_to_back() -> None:
    damage = DamageFactory(kind="tear", element="canopy", direction="at an angle")
    questions = asked(damage)
    assert labels(questions["direction"])[:2] == ["along the span", "front to back"]
    assert questions["angle_deg"].hint == "From the span: 0° runs along it, 90° from front to back."
