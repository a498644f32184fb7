"""A photo is pinned to a point of the drawing, told in words, carried to another model, taken off again."""

import pytest

from shoprepair.gear.describe import planform
from shoprepair.gear.geometry import OffTheDrawing, resolve
from shoprepair.jobs import photo_places, photos
from shoprepair.jobs.models import Job, Photo, Stage
from shoprepair.jobs.repin import put_pattern
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.units import Units
from tests.counter.checking_in import picture
from tests.factories import JobFactory, KiteFactory, PatternFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def job() -> Job:
    return JobFactory(stage=Stage.CHECKED_IN)


@pytest.fixture
def photo(job: Job, counter: Staff, settings, tmp_path) -> Photo:
    settings.MEDIA_ROOT = tmp_path
    return photos.keep(job, picture(), who=counter)


def placed(job: Job) -> list[str]:
    """What the journal tells of places, the oldest first."""
    entries = journal.entries(job).filter(verb__startswith="photo.").exclude(verb="photo.added")
    return [entry.text for entry in reversed(entries)]


def test_a_pinned_photo_says_where_it_was_taken(photo: Photo, counter: Staff) -> None:
    assert photo_places.place_words(photo, Units()) == ""
    photo_places.put(photo, -0.6, 0.09, who=counter)
    photo.refresh_from_db()
    assert photo_places.place_of(photo) == photo_places.Point(-0.6, 0.09)
    words = photo_places.place_words(photo, Units())
    assert words.startswith("leading edge, 6")
    assert words.endswith("mm left of centre")
    (told,) = photo_places.told_where(photo.job, photo.job.photos.all(), Units())
    assert told.where == words


def test_the_journal_tells_it_once_and_with_the_place(job: Job, photo: Photo, counter: Staff) -> None:
    for _ in range(2):
        photo_places.put(photo, 0.4, 0.03, who=counter)
    for _ in range(2):
        photo_places.take_off(photo, who=counter)
    first, last = placed(job)
    assert first.startswith("A photo was pinned to: leading edge, ")
    assert last == "A photo was taken off its place."
    photo.refresh_from_db()
    assert photo_places.place_of(photo) is None


def test_before_check_in_nothing_is_told_yet(photo: Photo, counter: Staff) -> None:
    photo.job.stage = Stage.ENQUIRY
    photo_places.put(photo, 0.4, 0.03, who=counter)
    assert placed(photo.job) == []


def test_a_point_beside_the_drawing_is_no_place(photo: Photo, counter: Staff) -> None:
    with pytest.raises(OffTheDrawing):
        photo_places.put(photo, 9, 9, who=counter)
    photo.refresh_from_db()
    assert photo_places.place_of(photo) is None


def test_a_removed_photo_is_not_pinned(photo: Photo, counter: Staff) -> None:
    photos.remove(photo, counter)
    with pytest.raises(ValueError, match="Bring it back first"):
        photo_places.put(photo, 0.4, 0.03, who=counter)


def test_a_photo_keeps_its_place_when_the_model_is_known_to_be_larger(photo: Photo, counter: Staff) -> None:
    photo_places.put(photo, 0.4, 0.03, who=counter)
    larger = PatternFactory(span_m=4.4, chord_centre_m=2.2)
    put_pattern(photo.job.inflatable, larger, who=counter)
    photo.refresh_from_db()
    assert photo.x_m == pytest.approx(0.4 * 4.4 / 3.5, abs=0.01)
    assert resolve(planform(larger), photo.x_m, photo.y_m).place.element == "leading edge"


def test_a_photo_of_a_part_that_the_model_has_not_is_pinned_nowhere(photo: Photo, counter: Staff) -> None:
    photo_places.put(photo, 0.0, 0.8, who=counter)
    without = KiteFactory()
    without.tubes.filter(kind="strut").delete()
    put_pattern(photo.job.inflatable, without, who=counter)
    photo.refresh_from_db()
    where = photo_places.place_words(photo, Units())
    assert "strut" not in where
