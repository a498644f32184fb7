"""Hold tests as they are kept: begun, read in any order and unit, decided, and what follows."""

import datetime
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone, translation

from shoprepair.gear.models import Pattern
from shoprepair.jobs import stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.mechanics.bladder import leading_edge_volume
from shoprepair.mechanics.description import Element, Place
from shoprepair.pricing.stale import Stale
from shoprepair.shop import journal
from shoprepair.shop.units import Units, read_temperature, say, sentence
from shoprepair.work import hold_test, hold_tests, hold_tubes, rules
from shoprepair.work.gauges import read_gauge, step_pa
from shoprepair.work.models import HoldReading, HoldTest
from tests.factories import JobFactory, held
from tests.pricing.mending import WING, a_job, on_the_canopy, on_the_edge, on_the_strut, put, stocked
from tests.work.benching import a_worked_cut, agree, do_all

pytestmark = pytest.mark.django_db
BAR, MINUTE = 1e5, datetime.timedelta(minutes=1)
Verdict = HoldTest.Verdict
METRIC, PSI = Units(), Units(pressure="psi", length="in", temperature="°F")


def at_the_test(job, who):
    agree(job)
    stages.move(job, Stage.BENCH, who=who)
    do_all(job, who)
    return stages.move(job, Stage.HOLD_TEST, who=who)


def separate(job):
    Pattern.objects.filter(pk=job.inflatable.pattern_id).update(pumping=Pattern.Pumping.SEPARATE, version=9)
    return Job.objects.get(pk=job.pk)


@pytest.fixture
def job(bench):
    """A wing whose leading edge was cut through, repaired and waiting for its hold test."""
    return a_worked_cut(bench)


@pytest.fixture
def begun(job, bench):
    """Its test, begun two hours ago."""
    test = begin(job, bench)
    HoldTest.objects.filter(pk=test.pk).update(began_at=timezone.now() - 120 * MINUTE)
    return HoldTest.objects.get(pk=test.pk)


def begin(job, who, text="0.5 bar", key=hold_tubes.ALL, **more):
    return hold_tests.begin(job, key, read_gauge(text, METRIC), who=who, **more)


def read(test, who, text, minutes_ago, celsius="20 °C", units=METRIC, **more):
    at = timezone.now() - minutes_ago * MINUTE
    return hold_tests.read(
        test, read_gauge(text, units), read_temperature(celsius, units), at, who=who, **more
    )


def sound(test, who):
    read(test, who, "0.500 bar", 119)
    read(test, who, "0.499 bar", 1)


def leaking(test, who):
    read(test, who, "0.50 bar", 119)
    read(test, who, "0.30 bar", 1)


def told(job):
    return [entry.text for entry in journal.entries(job)]


# What needs a test.


def test_tubes_that_share_their_air_are_tested_all_at_once(job):
    assert hold_tests.needed(job) == [hold_tubes.ALL]


def test_tubes_with_a_valve_each_are_tested_where_they_were_repaired(bench):
    stocked()
    job = separate(a_job())
    on_the_strut(job, 0.5, "cut", mm=30, through_bladder="no")
    agree(job)
    assert hold_tests.needed(job) == ["strut-centre-0"]


def test_a_canopy_tear_needs_no_hold_test_and_the_way_is_free(bench):
    stocked()
    job = a_job()
    on_the_canopy(job, 0.3, "tear", mm=60)
    job = at_the_test(job, bench)
    assert hold_tests.needed(job) == []
    assert hold_tests.passed(job)
    assert stages.refusals(job, Stage.READY) == []


def test_nothing_is_needed_of_a_job_that_nobody_has_agreed_to():
    assert hold_tests.needed(JobFactory()) == []


def test_the_volumes_of_linked_tubes_are_added(job):
    pattern = job.inflatable.pattern
    every = sum(hold_tubes.volume(pattern, key) for key in _keys(pattern))
    assert hold_tubes.volume(pattern, hold_tubes.ALL) == pytest.approx(every)
    assert leading_edge_volume(hold_tubes.description(pattern)) < every


def _keys(pattern):
    separate_pattern = Pattern.objects.get(pk=pattern.pk)
    separate_pattern.pumping = Pattern.Pumping.SEPARATE
    return hold_tubes.tubes(separate_pattern)


def test_cloth_whose_stiffness_nobody_entered_counts_as_the_usual_one(job):
    job.inflatable.pattern.casing.__class__.objects.update(stiffness_n_per_m=0)
    pattern = Pattern.objects.get(pk=job.inflatable.pattern_id)
    pattern.version += 1
    assert hold_tubes.stiffness(pattern) == hold_tubes.USUAL_STIFFNESS_N_PER_M


# Beginning.


def test_a_test_begins_at_the_stage_of_the_hold_test_only(job, bench):
    stages.move(job, Stage.BENCH, who=bench, reason="One more look.")
    with pytest.raises(hold_tests.HoldRefused, match="On the bench"):
        begin(job, bench)


def test_the_pressure_is_kept_as_typed_with_the_limits_of_that_day(job, bench):
    test = begin(job, bench, "7 psi")
    rules.change(rules.current(), who=bench, version=1, allowed_loss_percent_per_hour=9.0)
    assert test.pressure_typed == "7 psi"
    assert test.pressure_pa == pytest.approx(48263.3, abs=0.1)
    assert HoldTest.objects.get().allowance["share_per_hour"] == pytest.approx(0.02)


def test_more_than_rated_needs_the_owner_who_must_say_so(job, bench, owner):
    for who, ok in ((bench, False), (bench, True), (owner, False)):
        with pytest.raises(hold_tests.HoldRefused, match="only the owner may allow it"):
            begin(job, who, "0.9 bar", owner_ok=ok)
    test = begin(job, owner, "0.9 bar", owner_ok=True)
    assert test.over_rated_by == owner
    assert "with the owner's leave" in told(job)[0]


def test_a_pressure_at_which_the_seam_would_part_is_refused_to_the_owner_too(job, owner):
    job.inflatable.pattern.casing.__class__.objects.update(strength_warp_n_per_m=8000)
    job = Job.objects.get(pk=job.pk)
    Pattern.objects.update(version=77)
    job = Job.objects.get(pk=job.pk)
    with pytest.raises(ValueError, match="closing seam is expected to part"):
        begin(job, owner, "1.5 bar", owner_ok=True)


def test_one_test_of_a_tube_runs_at_a_time(begun, bench):
    with pytest.raises(hold_tests.HoldRefused, match="already runs"):
        begin(begun.job, bench)
    hold_tests.stop(begun, who=bench)
    assert begin(begun.job, bench).verdict == Verdict.OPEN


def test_a_tube_that_is_not_there_cannot_be_tested(job, bench):
    with pytest.raises(hold_tests.HoldRefused, match="no such tube"):
        begin(job, bench, key="strut-left-9")


# Reading.


def test_readings_count_by_their_time_whatever_the_order_they_were_written_in(begun, bench):
    read(begun, bench, "0.499 bar", 1)
    read(begun, bench, "0.500 bar", 119)
    assert hold_tests.judge(begun).verdict is hold_test.Verdict.HOLDS


def test_the_gauge_may_change_from_psi_to_bar_on_the_way_and_each_figure_stays_as_typed(begun, bench):
    read(begun, bench, "7.25 psi", 119)
    read(begun, bench, "0.499", 1)
    assert list(begun.readings.values_list("pressure_typed", flat=True)) == ["7.25 psi", "0.499 bar"]
    judged = hold_tests.judge(begun)
    assert judged.verdict is hold_test.Verdict.HOLDS
    assert any("changed from psi to bar" in note.text for note in judged.notes)


def test_pressure_that_rises_in_the_sun_is_set_against_its_warmth(begun, bench):
    read(begun, bench, "0.500 bar", 119, "20 °C")
    read(begun, bench, "0.551 bar", 1, "30 °C")
    assert hold_tests.judge(begun).verdict is not hold_test.Verdict.FAILS


def test_a_reading_in_the_future_is_refused(begun, bench):
    with pytest.raises(ValueError, match="lies in the future"):
        read(begun, bench, "0.5 bar", -30)
    assert not HoldReading.objects.exists()


def test_a_clock_that_runs_a_minute_ahead_is_forgiven_and_kept_as_now(begun, bench):
    assert read(begun, bench, "0.5 bar", -1).at <= timezone.now()


def test_a_reading_of_last_week_does_not_belong_to_this_test(begun, bench):
    with pytest.raises(ValueError, match="more than a day before"):
        read(begun, bench, "0.5 bar", 7 * 1440)


def test_a_change_of_the_clocks_neither_adds_nor_takes_an_hour(job, bench):
    """Where clocks go back at 3:00 from summer time: 2:30 comes twice, an hour apart."""
    zone = ZoneInfo("Europe/Oslo")
    twice = datetime.datetime(2026, 10, 25, 2, 30, tzinfo=zone)
    test = begin(job, bench)
    HoldTest.objects.update(began_at=twice)
    for fold, figure in ((0, "0.500 bar"), (1, "0.499 bar")):
        at = twice.replace(fold=fold)
        hold_tests.read(test, read_gauge(figure, METRIC), read_temperature("20 °C", METRIC), at, who=bench)
    with timezone.override(zone):
        judged = hold_tests.judge(test)
    assert judged.missing[0].seconds == 3600
    assert any("clocks were changed" in note.text for note in judged.notes)


def test_an_empty_tube_is_a_reading_too(begun, bench):
    read(begun, bench, "0.5 bar", 60)
    read(begun, bench, "0", 1)
    assert hold_tests.judge(begun).verdict is hold_test.Verdict.FAILS


@pytest.mark.parametrize(
    ("typed", "step"),
    [
        ("0.5 bar", 0.1 * BAR),
        ("0,49 bar", 0.01 * BAR),
        ("50 kPa", 1000),
        ("7 1/2 psi", 6894.757 / 2),
        ("7psi", 6894.757),
        ("0.00 bar", 0.01 * BAR),
        ("500 mbar", 100),
    ],
)
def test_the_step_of_a_gauge_follows_from_the_digits_that_were_typed(typed, step):
    assert step_pa(typed) == pytest.approx(step, rel=1e-6)


def test_a_reading_taken_out_no_longer_counts_until_it_is_put_back(begun, bench):
    sound(begun, bench)
    wrong = read(begun, bench, "0.20 bar", 60)
    assert hold_tests.judge(begun).verdict is not hold_test.Verdict.HOLDS
    hold_tests.remove_reading(wrong, who=bench)
    assert hold_tests.judge(begun).verdict is hold_test.Verdict.HOLDS
    hold_tests.restore_reading(wrong, who=bench)
    assert hold_tests.judge(begun).verdict is not hold_test.Verdict.HOLDS
    assert [text.split(" the ")[0] for text in told(begun.job)[:2]] == ["Put back", "Took out"]


# Deciding.


def test_a_tube_that_holds_lets_the_job_go_on(begun, bench):
    assert "Not yet shown to hold" in stages.refusals(begun.job, Stage.READY)[0]
    sound(begun, bench)
    assert hold_tests.decide(begun, who=bench) == Verdict.HOLDS
    assert hold_tests.passed(begun.job)
    assert stages.refusals(begun.job, Stage.READY) == []
    kept = HoldTest.objects.get()
    assert kept.judged["verdict"] == "holds"
    assert kept.judged["leak"]["loss_per_hour"] < 0.02
    assert (kept.decided_by, kept.suspects) == (bench, [])
    [said] = [entry.text for entry in journal.entries(begun.job).filter(verb="hold.passed")]
    assert said.startswith("Hold test of all tubes together: it holds. Brought to one temperature, it lost ")


def test_a_tube_that_fails_takes_the_job_back_to_the_bench_with_the_places_to_look_at(begun, bench):
    leaking(begun, bench)
    assert hold_tests.decide(begun, who=bench) == Verdict.FAILS
    job = Job.objects.get(pk=begun.job_id)
    assert job.stage == Stage.BENCH
    assert HoldTest.objects.get().suspects == [1]
    moved, said = told(job)[:2]
    assert moved == "It does not hold: back to the bench: All tubes together."
    assert said.startswith("Hold test failed. All tubes together: Brought to one temperature, it lost ")
    assert "Look first at: Damage 1: leading edge" in said
    assert "nflation valve" in said


def test_the_repair_nearest_to_the_valve_is_looked_at_first(bench):
    stocked()
    job = a_job()
    for station, side in ((0.6, "right"), (0.1, "right"), (0.9, "left")):
        on_the_edge(job, station, "cut", side=side, mm=30, through_bladder="no")
    on_the_canopy(job, 0.3, "tear", mm=60)
    agree(job)
    numbers = [one.damage for one in hold_tests.suspects(job, hold_tubes.ALL) if one.damage]
    assert sorted(numbers) == [1, 2, 3]
    assert numbers[-1] in (1, 3)
    assert 4 not in numbers


def test_the_seam_that_was_sewn_up_again_is_suspected_too(begun):
    words = [one.words.text for one in hold_tests.suspects(begun.job, hold_tubes.ALL)]
    assert any("where the needle passed the bladder" in text for text in words)
    assert any("valve" in text.lower() for text in words)


def test_readings_that_do_not_decide_are_not_decided_by(begun, bench):
    read(begun, bench, "0.5 bar", 30)
    with pytest.raises(hold_tests.HoldRefused, match="do not decide yet"):
        hold_tests.decide(begun, who=bench)


def test_only_the_owner_lets_a_tube_pass_that_the_readings_do_not_pass_and_says_why(begun, bench, owner):
    leaking(begun, bench)
    with pytest.raises(hold_tests.HoldRefused, match="Only the owner"):
        hold_tests.decide(begun, True, who=bench, reason="It is fine.")
    with pytest.raises(hold_tests.HoldRefused, match="say why"):
        hold_tests.decide(begun, True, who=owner, reason="  ")
    hold_tests.decide(begun, True, who=owner, reason="The valve cap was off.")
    assert HoldTest.objects.get().judged["decided_because"] == "The valve cap was off."
    assert "Decided otherwise: The valve cap was off." in told(begun.job)[0]


def test_nobody_passes_a_tube_without_a_reading(begun, owner):
    with pytest.raises(hold_tests.HoldRefused, match="at least one reading"):
        hold_tests.decide(begun, True, who=owner, reason="Looks hard.")


def test_whoever_hears_it_hiss_sends_it_back_and_says_so(begun, bench):
    with pytest.raises(hold_tests.HoldRefused, match="heard or saw"):
        hold_tests.decide(begun, False, who=bench)
    hold_tests.decide(begun, False, who=bench, reason="It hisses at the valve.")
    assert Job.objects.get(pk=begun.job_id).stage == Stage.BENCH
    assert "It hisses at the valve." in told(begun.job)[1]


def test_a_decision_about_readings_that_somebody_changed_meanwhile_is_not_taken(begun, bench):
    sound(begun, bench)
    seen = HoldTest.objects.get().version
    read(begun, bench, "0.48 bar", 2)
    with pytest.raises(Stale):
        hold_tests.decide(begun, who=bench, version=seen)


def test_a_decided_test_takes_no_more_readings_and_no_second_decision(begun, bench):
    sound(begun, bench)
    hold_tests.decide(begun, who=bench)
    with pytest.raises(hold_tests.HoldRefused, match="over"):
        read(begun, bench, "0.5 bar", 1)
    with pytest.raises(hold_tests.HoldRefused, match="decided already"):
        hold_tests.decide(begun, who=bench)


def test_after_more_work_an_earlier_pass_says_nothing_any_more(begun, bench):
    sound(begun, bench)
    hold_tests.decide(begun, who=bench)
    begun.job.steps.update(done_at=timezone.now())
    assert not hold_tests.passed(begun.job)


def test_after_a_fail_a_new_test_decides(begun, bench):
    leaking(begun, bench)
    hold_tests.decide(begun, who=bench)
    job = Job.objects.get(pk=begun.job_id)
    stages.move(job, Stage.HOLD_TEST, who=bench)
    assert not hold_tests.passed(job)
    assert held(job, bench)
    assert hold_tests.passed(job)


def test_every_tube_with_a_valve_of_its_own_must_hold(bench):
    stocked()
    job = separate(a_job())
    on_the_edge(job, 0.1, "cut", mm=40, through_bladder="no")
    put(job, Place(element=Element.STRUT, station=0, side="centre", strut=0, fraction=0.5), "cut", mm=30)
    job = at_the_test(job, bench)
    first, second = hold_tests.needed(job)
    test = begin(job, bench, key=first)
    HoldTest.objects.update(began_at=timezone.now() - 120 * MINUTE)
    sound(test, bench)
    hold_tests.decide(test, who=bench)
    [refused] = stages.refusals(job, Stage.READY)
    assert hold_tubes.label(job.inflatable.pattern, second) in refused


# The drawing.


def test_nothing_is_drawn_before_the_first_reading(begun):
    assert hold_tests.plot(begun, METRIC) == ""


@pytest.mark.parametrize("units", [METRIC, PSI, Units(pressure="kPa")])
def test_the_axes_are_in_the_readers_own_units(begun, bench, units):
    leaking(begun, bench)
    drawn = hold_tests.plot(begun, units)
    assert f"Gauge, {units.pressure}" in drawn
    assert "2 readings of the gauge" in drawn
    assert "style=" not in drawn


def test_the_library_wing_is_linked():
    stocked()
    assert hold_tubes.tubes(Pattern.objects.get(name=WING)) == (hold_tubes.ALL,)


def decided_in(language, begun, bench):
    """The test found to leak by somebody who reads this language."""
    read(begun, bench, "0.5 bar", 90)
    read(begun, bench, "0.3 bar", 20)
    with translation.override(language):
        hold_tests.decide(begun, who=bench)
    return HoldTest.objects.get(pk=begun.pk).judged


def said_in(kept, language):
    with translation.override(language):
        return say(sentence(kept), METRIC)


def test_why_a_tube_failed_is_read_in_the_language_of_whoever_reads_it(begun, bench):
    kept = decided_in("de", begun, bench)["reason"]
    german, english = said_in(kept, "de"), said_in(kept, "en")

    assert german.startswith("Hält nicht: ")
    assert english.startswith("It does not hold: brought to one temperature, it lost 0.20 bar in")


def test_where_to_listen_is_read_in_the_language_of_whoever_reads_it(begun, bench):
    kept = decided_in("es", begun, bench)["suspects"]

    english = [said_in(one["words"], "en") for one in kept]
    assert english[0].startswith("Damage 1: leading edge, ")
    assert any("inflation valve" in said for said in english)
    assert not {said_in(one["words"], "de") for one in kept} & set(english)


def test_what_was_decided_before_sentences_kept_their_making_stays_as_it_was_said(begun, bench):
    kept = decided_in("de", begun, bench)["reason"]
    old = {name: kept[name] for name in ("text", "values")}

    assert said_in(old, "de") == said_in(kept, "de")
    assert said_in(old, "en").startswith("Hält nicht: ")


def test_figures_of_a_decided_test_are_kept_in_english_to_be_said_anew(begun, bench):
    names = [figure["name"] for figure in decided_in("de", begun, bench)["figures"]]

    assert names[:2] == ["first pressure", "first temperature"]
