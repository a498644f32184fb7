"""May it be used meanwhile, as its customer reads it."""

import pytest
from django.utils import translation

from shoprepair.jobs.models import Damage, Job, Stage
from shoprepair.mechanics.description import Element
from shoprepair.portal.findings import live_damages
from shoprepair.portal.record import record
from shoprepair.portal.safety import Safety, safety
from shoprepair.pricing import answers, quotes, totals
from tests.factories import DamageFactory, accepted
from tests.portal.visits import bid, judged

pytestmark = pytest.mark.django_db


def answer(job: Job, metric) -> Safety:
    return safety(job, live_damages(job), metric)


def banded(job: Job, band: str, urgency: int, **facts: object) -> Damage:
    damage = judged(job, **facts)
    damage.band, damage.urgency = band, urgency
    damage.save()
    return damage


@pytest.mark.parametrize(
    ("band", "urgency", "said"),
    [
        ("Grounded", 97, "No."),
        ("Repair first", 60, "No."),
        ("Next service", 35, "Yes, with care."),
        ("Watch", 5, "Yes."),
    ],
)
def test_each_band_has_its_plain_answer(job, metric, band, urgency, said):
    job.damages.all().delete()
    banded(job, band, urgency, number=3)
    found = answer(job, metric)
    assert (found.answer, found.band, found.number) == (said, band, 3)
    assert found.what.startswith("35 mm cut")
    assert found.reason.endswith(".")


def test_grounded_gear_is_not_to_be_inflated(job, metric):
    banded(job, "Grounded", 97, number=3)
    assert "Do not inflate it" in answer(job, metric).words


def test_the_worst_of_several_decides(job, metric):
    banded(job, "Watch", 5, number=2)
    banded(job, "Grounded", 99, number=3)
    banded(job, "Grounded", 97, number=4)
    assert answer(job, metric).number == 3


def test_while_a_damage_is_not_judged_a_mild_finding_frees_nothing(job, metric):
    job.damages.all().delete()
    banded(job, "Watch", 5, number=2)
    DamageFactory(job=job, number=3, kind="")
    assert answer(job, metric).answer == "Not yet."


def test_with_nothing_found_it_waits_for_the_shop(job, metric):
    job.damages.all().delete()
    assert answer(job, metric).answer == "Not yet."


@pytest.mark.parametrize("stage", [Stage.READY, Stage.HANDED_BACK])
def test_repaired_gear_may_be_used(job, metric, stage):
    job.stage = stage
    banded(job, "Grounded", 97, number=3)
    found = answer(job, metric)
    assert (found.heading, found.answer, found.band) == ("May it be used?", "Yes.", "")
    assert found.words == "It was repaired as agreed."
    assert len(found.cautions) == 1, "nobody pumps it to test pressure, nothing is feared offshore"


def test_gear_whose_grounding_damage_the_customer_left_out_stays_grounded(job, metric, owner):
    banded(job, "Grounded", 97, number=3)
    left_out = {"text": "Seam", "damages": [3], "optional": True}
    access = {"text": "Open it", "kind": "access", "damages": [1, 3]}
    quote = bid(job, owner, [{"text": "Patch", "damages": [1]}, left_out, access])
    taken = {line.pk for line in quote.lines.exclude(text="Seam")}
    total = totals.of(quote, taken).total
    answers.answer(quote, name="Ilka", accepted=True, taken=taken, total_shown=total, version=quote.version)
    made = record(quotes.agreed(job))
    assert made.not_mended == {3}
    job.stage = Stage.READY
    found = safety(job, live_damages(job), metric, made.not_mended)
    assert (found.answer, found.number) == ("No.", 3)
    assert found.words.startswith("It was repaired as agreed, but not what you left out. Do not inflate it")


def test_the_one_of_two_that_was_not_chosen_leaves_nothing_unmended(job, owner):
    two = [{"text": text, "damages": [1], "choice": "bladder", "taken": text == "A"} for text in "AB"]
    assert record(accepted(bid(job, owner, two), job)).not_mended == set()


def test_the_cautions_stand_beside_the_answer(job, metric):
    banded(job, "Grounded", 97, number=3)
    told = " ".join(answer(job, metric).cautions)
    assert "not a certificate" in told
    assert "drown" in told
    assert "eye and ear protection" in told


def test_a_canopy_alone_is_not_under_pressure(job, metric):
    job.damages.update(element=Element.CANOPY.value)
    assert "ear protection" not in " ".join(answer(job, metric).cautions)


def test_the_answer_and_its_cautions_are_said_in_the_language_of_who_reads(job, metric):
    banded(job, "Grounded", 97)
    with translation.override("de"):
        said = safety(job, live_damages(job), metric)
        assert str(said.answer) == "Nein."
        assert any("Augen- und Gehörschutz" in caution for caution in said.cautions)
