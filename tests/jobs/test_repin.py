import pytest

from shoprepair.gear.describe import planform
from shoprepair.gear.geometry import resolve
from shoprepair.jobs import damages
from shoprepair.jobs.models import Job
from shoprepair.jobs.repin import RepinRefused, put_pattern
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from tests.enquiries import asked
from tests.factories import JobFactory, KiteFactory, PatternFactory, agreed

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(db: None) -> Job:
    return asked()


def test_pins_keep_their_station_when_the_model_is_known_to_be_larger(job: Job, counter: Staff) -> None:
    (before,) = damages.live(job)
    larger = PatternFactory(span_m=4.4, chord_centre_m=2.2)
    put_pattern(job.inflatable, larger, who=counter)
    (after,) = damages.live(job)
    assert (after.element, after.side, after.number) == (before.element, before.side, before.number)
    assert after.station == pytest.approx(before.station, abs=0.005)
    assert after.x_m == pytest.approx(before.x_m * 4.4 / 3.5, abs=0.01)
    assert resolve(planform(larger), after.x_m, after.y_m).place.element == after.element
    assert (after.kind, after.length_typed, after.told) == (before.kind, before.length_typed, before.told)


def test_they_are_judged_by_the_figures_of_the_model(job: Job, counter: Staff) -> None:
    before = damages.live(job)[0].load_ratio
    hard = PatternFactory(rated_pressure_pa=90_000)
    put_pattern(job.inflatable, hard, who=counter)
    job.refresh_from_db()
    after = damages.live(job)[0]
    assert after.load_ratio > before
    assert (job.urgency, job.band) == (after.urgency, after.band)
    told = journal.entries(job).get(verb="job.pins-carried")
    assert told.who == counter
    about_gear = journal.entries(job.inflatable).get(verb="inflatable.model-said")
    assert about_gear.changes["model"] == ["Wing of 3.5 to 5.5 m², model not known", hard.name]


def test_what_cannot_be_so_there_is_to_be_said_again(job: Job, counter: Staff) -> None:
    opened = damages.pin(job, 0.0, 1.0, who=counter)
    damages.answer(opened, who=counter, kind="stitching gone")
    kite = KiteFactory()
    put_pattern(job.inflatable, kite, who=counter)
    opened.refresh_from_db()
    assert opened.element == "strut"
    opened.job.inflatable.refresh_from_db()
    assert opened.kind in damages.kinds_of(damages.live(job)[1])


def test_a_removed_pin_is_carried_too_so_that_it_can_come_back(job: Job, counter: Staff) -> None:
    (damage,) = damages.live(job)
    damages.remove(damage, counter)
    put_pattern(job.inflatable, PatternFactory(span_m=4.4), who=counter)
    damages.restore(damage, counter)
    assert damages.live(job)[0].x_m > damage.x_m


def test_the_same_model_again_changes_nothing(job: Job, counter: Staff) -> None:
    version = job.inflatable.version
    put_pattern(job.inflatable, job.inflatable.pattern, who=counter)
    job.inflatable.refresh_from_db()
    assert job.inflatable.version == version
    assert not journal.entries(job.inflatable).exists()


def test_a_model_stays_once_a_quote_was_sent_for_it(counter: Staff) -> None:
    job = JobFactory(stage="assessed")
    damage = damages.pin(job, 0.2, 0.02, who=counter)
    damages.answer(damage, who=counter, kind="burst")
    agreed(job, counter)
    with pytest.raises(RepinRefused, match="was sent for the model it is now"):
        put_pattern(job.inflatable, PatternFactory(), who=counter)
    job.inflatable.refresh_from_db()
    assert job.inflatable.version == 1
