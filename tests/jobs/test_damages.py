import threading

import pytest
from django.core.exceptions import ValidationError
from django.db import connection

from shoprepair.gear.geometry import OffTheDrawing
from shoprepair.jobs import damages
from shoprepair.jobs.assessment import refusal
from shoprepair.jobs.damages import Stale
from shoprepair.jobs.models import Damage, Job, Stage
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.units import Typed, Units, read_length
from tests.factories import JobFactory, KiteFactory, PatternFactory

pytestmark = pytest.mark.django_db
CUT = {"kind": "cut", "length": Typed(0.035, "35 mm"), "direction": "around"}


@pytest.fixture
def job(db: None) -> Job:
    return JobFactory()


def pinned_cut(job: Job, who: Staff, x_m: float = 0.4, **answers: object) -> Damage:
    return damages.answer(damages.pin(job, x_m, 0.02, who=who), who=who, **(CUT | answers))


def test_a_tap_on_the_drawing_becomes_a_numbered_damage_in_its_place(job: Job, counter: Staff) -> None:
    damage = damages.pin(job, -0.9, 0.25, who=counter)
    damage.refresh_from_db()
    assert (damage.number, damage.element, damage.side) == (1, "leading edge", "left")
    assert (damage.x_m, damage.y_m) == (-0.9, 0.25)
    assert 0.4 < damage.station < 0.6
    job.refresh_from_db()
    assert (job.damage_count, job.urgency, job.band) == (1, 0, "Watch")


def test_a_tap_on_the_canopy_knows_its_cell(job: Job, counter: Staff) -> None:
    damage = damages.pin(job, 0.3, 0.5, who=counter)
    assert (damage.element, damage.cell) == ("canopy", 0)


def test_a_tap_beside_the_drawing_is_no_damage(job: Job, counter: Staff) -> None:
    with pytest.raises(OffTheDrawing, match="Tap a part of the drawing"):
        damages.pin(job, 3.0, 3.0, who=counter)
    assert not Damage.objects.exists()


def test_a_number_is_not_used_again_after_a_removal(job: Job, counter: Staff) -> None:
    first, second = (damages.pin(job, x, 0.02, who=counter) for x in (0.2, 0.4))
    damages.remove(second, counter)
    assert damages.pin(job, 0.5, 0.02, who=counter).number == 3
    assert [damage.number for damage in damages.live(job)] == [first.number, 3]


def test_answers_are_judged_at_once_and_lift_the_job_on_the_rack(job: Job, counter: Staff) -> None:
    damage = pinned_cut(job, counter)
    assert damage.band in {"Repair first", "Grounded"}
    assert damage.urgency >= 50
    assert damage.load_ratio > 0
    assert damage.reason["text"]
    job.refresh_from_db()
    assert (job.urgency, job.rank, job.band) == (damage.urgency, 100 - damage.urgency, damage.band)


def test_the_typed_length_is_kept_as_typed(job: Job, counter: Staff) -> None:
    damage = pinned_cut(job, counter, length=read_length("1 3/8 in", Units()))
    damage.refresh_from_db()
    assert (damage.length_m, damage.length_typed) == (pytest.approx(0.034925), "1 3/8 in")


def test_an_answer_taken_back_is_not_said_any_more(job: Job, counter: Staff) -> None:
    damage = damages.answer(pinned_cut(job, counter), who=counter, length=None)
    assert (damage.length_m, damage.length_typed) == (None, "")


def test_a_damage_of_no_known_kind_is_not_judged(job: Job, counter: Staff) -> None:
    damage = damages.answer(damages.pin(job, 0.4, 0.02, who=counter), who=counter, note="Look at it.")
    assert (damage.load_ratio, damage.urgency, damage.band) == (None, 0, "Watch")


def test_a_cut_of_no_known_length_is_taken_for_a_long_one(job: Job, counter: Staff) -> None:
    unmeasured = damages.answer(damages.pin(job, 0.4, 0.02, who=counter), who=counter, kind="cut")
    assert unmeasured.urgency > pinned_cut(job, counter).urgency


def test_the_same_cut_is_worse_at_the_centre_than_toward_the_tip(job: Job, counter: Staff) -> None:
    """Common practice, no source."""
    centre, tip = pinned_cut(job, counter, 0.05), damages.pin(job, 1.5, 0.55, who=counter)
    tip = damages.answer(tip, who=counter, **CUT)
    assert tip.element == "leading edge"
    assert centre.load_ratio > tip.load_ratio


def test_the_same_cut_is_worse_on_a_held_wing_than_on_a_bridled_kite(counter: Staff) -> None:
    """Common practice, no source."""
    wing = pinned_cut(JobFactory(inflatable__pattern=PatternFactory()), counter)
    kite = pinned_cut(JobFactory(inflatable__pattern=KiteFactory()), counter)
    assert wing.load_ratio > kite.load_ratio


def test_impossible_answers_get_a_sentence_each_and_change_nothing(job: Job, counter: Staff) -> None:
    damage = pinned_cut(job, counter)
    with pytest.raises(ValidationError) as refusal:
        damages.answer(damage, who=counter, length=Typed(3.0, "3 m"), direction="sideways", angle_deg=120)
    assert refusal.value.message_dict == {
        "direction": ["That is not one of the answers; choose one of those shown."],
        "length_m": ["A cut of 3.00 m is longer than this tube allows, 1.50 m. Did you mean 30 mm?"],
        "angle_deg": ["The angle lies between 0° (along) and 90° (around)."],
    }
    damage.refresh_from_db()
    assert (damage.length_typed, damage.direction, damage.version) == ("35 mm", "around", 2)


def test_a_refusal_speaks_in_the_readers_units(job: Job, counter: Staff) -> None:
    damage = pinned_cut(job, counter)
    with pytest.raises(ValidationError) as refusal:
        damages.answer(damage, who=counter, length=Typed(3.0, "3 m"), units=Units(length="in"))
    assert refusal.value.messages == [
        "A cut of 118.1 in is longer than the way around this tube allows, 26.3 in. Did you mean 1 1/8 in?"
    ]


def test_what_is_no_answer_is_a_mistake_of_the_program(job: Job, counter: Staff) -> None:
    with pytest.raises(TypeError, match="urgency"):
        damages.answer(damages.pin(job, 0.4, 0.02, who=counter), who=counter, urgency=3)


def test_nobody_overwrites_what_somebody_else_answered_meanwhile(
    job: Job, counter: Staff, bench: Staff
) -> None:
    damage = pinned_cut(job, counter)
    seen = damage.version
    damages.answer(damage, who=bench, version=seen, length=Typed(0.05, "5 cm"))
    with pytest.raises(Stale) as refusal:
        damages.answer(damage, who=counter, version=seen, length=Typed(0.02, "2 cm"))
    assert str(refusal.value) == (
        "Somebody has changed damage 1 meanwhile. Look at it as it is now, then change it again."
    )
    assert refusal.value.damage.length_typed == "5 cm"


def test_a_removed_damage_cannot_be_answered(job: Job, counter: Staff) -> None:
    damage = damages.remove(pinned_cut(job, counter), counter)
    with pytest.raises(Stale):
        damages.answer(damage, who=counter, direction="along")


def test_a_moved_pin_is_judged_in_its_new_place(job: Job, counter: Staff) -> None:
    damage = pinned_cut(job, counter)
    before = damage.load_ratio
    damages.move_pin(damage, 1.5, 0.55, who=counter)
    damage.refresh_from_db()
    assert (damage.element, damage.kind) == ("leading edge", "cut")
    assert damage.load_ratio < before


def test_a_cut_moved_onto_the_canopy_is_to_be_described_anew(job: Job, counter: Staff) -> None:
    damage = damages.move_pin(pinned_cut(job, counter), 0.3, 0.5, who=counter)
    assert (damage.element, damage.kind, damage.urgency) == ("canopy", "", 0)


def test_a_removed_damage_leaves_the_rack_and_comes_back_restored(job: Job, counter: Staff) -> None:
    damage = pinned_cut(job, counter)
    damages.remove(damage, counter)
    job.refresh_from_db()
    assert (job.urgency, job.damage_count, job.band) == (0, 0, "Watch")
    damages.restore(damage, counter)
    job.refresh_from_db()
    assert (job.urgency, job.damage_count) == (damage.urgency, 1)


def test_removing_twice_is_removing_once(counter: Staff) -> None:
    damage = pinned_cut(JobFactory(stage=Stage.CHECKED_IN), counter)
    damages.remove(damage, counter)
    at = damage.removed_at
    damages.remove(damage, counter)
    assert damage.removed_at == at
    assert journal.entries(damage.job).filter(verb="damage.removed").count() == 1


def test_while_an_enquiry_is_written_its_changes_are_no_corrections(job: Job, counter: Staff) -> None:
    damages.remove(pinned_cut(job, counter), counter)
    assert not journal.entries(job).exists()


def test_from_check_in_on_every_change_keeps_the_old_value(counter: Staff) -> None:
    job = JobFactory(stage=Stage.ASSESSED)
    damage = pinned_cut(job, counter)
    damages.answer(damage, who=counter, length=Typed(0.04, "40 mm"))
    damages.move_pin(damage, 0.5, 0.03, who=counter)
    damages.remove(damage, counter)
    damages.restore(damage, counter)
    entries = list(journal.entries(job))
    assert [entry.text for entry in reversed(entries)] == [
        "Damage 1 was pinned on the leading edge.",
        "Damage 1 was answered.",
        "Damage 1 was answered.",
        "Damage 1 was moved.",
        "Damage 1 was removed.",
        "Damage 1 was restored.",
    ]
    assert entries[-3].changes == {"length": ["35 mm", "40 mm"]}
    assert list(entries[-4].changes) == ["place"]


def test_an_answer_that_changes_nothing_is_no_entry(counter: Staff) -> None:
    job = JobFactory(stage=Stage.ASSESSED)
    damage = pinned_cut(job, counter)
    damages.answer(damage, who=counter, direction="around")
    assert journal.entries(job).filter(verb="damage.answered").count() == 1


def test_a_cut_beside_a_bridle_point_is_a_cut_of_the_tube(counter: Staff) -> None:
    job = JobFactory(inflatable__pattern=KiteFactory())
    at = next(s for s in _sites(job) if s.kind == "bridle point").middle
    damage = damages.pin(job, at.x_m, at.y_m, who=counter)
    assert damage.element == "bridle point"
    damages.answer(damage, who=counter, **CUT)
    assert damage.element == "leading edge"
    assert damage.urgency > 0
    assert "stitching gone" in damages.kinds_of(damage)
    damages.answer(damage, who=counter, kind="stitching gone", stitched_left=Typed(0.02, "20 mm"))
    assert damage.element == "bridle point"


def _sites(job: Job):
    from shoprepair.gear.describe import planform
    from shoprepair.gear.sites import sites

    return sites(planform(job.inflatable.pattern))


@pytest.mark.parametrize("element_kinds", [((0.4, 0.02), "leading edge"), ((0.0, 0.9), "strut")])
def test_every_kind_of_damage_of_a_tube_can_be_judged(
    job: Job, counter: Staff, element_kinds: tuple[tuple[float, float], str]
) -> None:
    (x, y), element = element_kinds
    measures = {"length": Typed(0.03, "30 mm"), "stitched_left": Typed(0.1, "10 cm"), "under_kind": "cut"}
    for kind in damages.kinds_for(element):
        damage = damages.pin(job, x, y, who=counter)
        damages.answer(damage, who=counter, kind=kind, **measures)
        assert not refusal(damage), kind
        assert damage.model_version, kind


def test_a_burst_is_grounded(job: Job, counter: Staff) -> None:
    """Common practice, no source."""
    damage = damages.answer(damages.pin(job, 0.4, 0.02, who=counter), who=counter, kind="burst")
    damage.refresh_from_db()
    assert (damage.band, damage.urgency) == ("Grounded", 100)
    job.refresh_from_db()
    assert (job.urgency, job.rank) == (100, 0)


@pytest.mark.django_db(transaction=True)
def test_two_people_tapping_at_the_same_moment_pin_two_damages(counter: Staff) -> None:
    job = JobFactory()
    start = threading.Barrier(4)

    def tap(x_m: float) -> None:
        start.wait()
        pinned_cut(Job.objects.get(pk=job.pk), counter, x_m)
        connection.close()

    threads = [threading.Thread(target=tap, args=[0.1 * turn]) for turn in range(1, 5)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    pinned = damages.live(job)
    assert [damage.number for damage in pinned] == [1, 2, 3, 4]
    job.refresh_from_db()
    assert (job.damage_count, job.urgency) == (4, max(damage.urgency for damage in pinned))
