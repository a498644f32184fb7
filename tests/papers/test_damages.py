import math

import pytest

from shoprepair.jobs import damages as pinned
from shoprepair.papers.damages import Row, ratio_words, row, said_once, task, verdict
from tests.papers.conftest import BURST, CUT, SCUFF


@pytest.mark.parametrize(
    ("load_ratio", "said"),
    [(0.0, "0.00"), (1.005, "1.00"), (1.61, "1.61"), (99.99, "99.99"), (100, "over 100"), (math.inf, "∞")],
)
def test_a_load_ratio_has_two_decimals_until_they_say_nothing(load_ratio, said):
    assert ratio_words(load_ratio) == said


def test_a_row_says_place_finding_size_and_figures(make_job, metric):
    job = make_job(CUT)
    damage = pinned.live(job)[0]

    said = row(damage, metric)

    assert said.number == 1
    assert said.place.startswith("Leading edge, ")
    assert said.what == "60 mm cut along"
    assert said.size == "60 mm"
    assert said.load_ratio == f"{damage.load_ratio:.2f}"
    assert (said.urgency, said.band) == (damage.urgency, damage.band)
    assert any("bladder behind it" in sentence for sentence in said.inspect)


def test_a_burst_sends_the_bench_to_the_mirror_place(make_job, metric):
    said = row(pinned.live(make_job(BURST))[0], metric)

    assert "Look at the mirror place" in said.inspect[0]
    assert said.load_ratio == "∞"


def test_a_damage_not_described_yet_claims_no_figure(make_job, metric):
    said = row(pinned.live(make_job((0.4, 0.05, None)))[0], metric)

    assert not said.judged
    assert (said.what, said.size, said.load_ratio) == ("Not described yet", "–", "–")


def test_a_fold_that_nobody_tried_is_said(make_job, metric):
    assert row(pinned.live(make_job(SCUFF))[0], metric).what.endswith(", fold not tried")


def test_the_worst_damage_speaks_for_the_job(make_job, metric):
    job = make_job(SCUFF, BURST)

    said = verdict(job, pinned.live(job), metric)

    assert (said.urgency, said.band, said.grounded) == (100, "Grounded", True)
    assert said.sentence.startswith("Burst, ")


def test_a_job_without_a_judged_damage_is_not_called_harmless(make_job, metric):
    job = make_job((0.4, 0.05, None))

    said = verdict(job, pinned.live(job), metric)

    assert not said.judged
    assert not said.grounded


def test_a_task_knows_its_tube(make_job, metric):
    job = make_job(CUT, (0.0, 1.0, {"kind": "leak", "softens": "within an hour"}))

    assert [task(damage, metric).tube for damage in pinned.live(job)] == ["leading edge", "centre strut"]


def test_a_task_knows_a_doubled_casing(make_job, metric):
    job = make_job(CUT)
    tube = job.inflatable.pattern.tubes.get(kind="leading edge")
    assert not task(pinned.live(job)[0], metric).doubled

    tube.doublings = [[0, 0.5]]
    tube.save()
    job.inflatable.pattern.version += 1
    job.inflatable.pattern.save()

    assert task(pinned.live(job)[0], metric).doubled


def test_what_is_to_be_looked_at_in_many_damages_is_said_once_with_their_numbers():
    one = Row(1, "Leading edge", "A cut", "12 mm", "0.4", 40, "Next service", True, ("Look behind it.",), "")
    rows = [one._replace(number=number) for number in range(1, 6)]
    rows[4] = rows[4]._replace(inspect=("Look behind it.", "Look at the valve."))

    alone, everywhere = said_once(rows)

    assert everywhere == [("Look behind it.", (1, 2, 3, 4, 5))]
    assert [row.inspect for row in alone] == [(), (), (), (), ("Look at the valve.",)]
    assert said_once(rows[:4]) == (rows[:4], [])
