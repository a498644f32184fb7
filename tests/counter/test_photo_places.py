"""Pinning a photo at the counter, with a script and without; its place in both lists; the way back."""

import re

import pytest
from django.urls import reverse

from shoprepair.jobs import photo_places, photos
from shoprepair.jobs.models import Job, Photo
from tests.counter.checking_in import OFF, ON_THE_EDGE, answer, desk, enquiry, picture, pin
from tests.factories import JobFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


@pytest.fixture
def job(counter) -> Job:
    return enquiry(counter)


@pytest.fixture
def photo(job, counter, settings, tmp_path) -> Photo:
    settings.MEDIA_ROOT = tmp_path
    return photos.keep(job, picture(), who=counter)


def put(client, photo, **where):
    return client.post(reverse("photo-place", args=[photo.key]), where)


def test_without_a_script_the_drawing_leads_to_a_place_and_a_button_keeps_it(client, job, photo):
    page = client.get(f"{desk(job)}?photo={photo.key}").content.decode()
    assert "Where was this photo taken?" in page
    href = re.search(r'href="([^"]+)"[^>]*data-region="edge-right-1"', page) or re.search(
        r'data-region="edge-right-1"[^>]*href="([^"]+)"', page
    )
    there = client.get(href[1].replace("&amp;", "&").partition("#")[0]).content.decode()
    assert "The photo was taken here: leading edge" in there
    assert "data-pin-form" not in there
    x, y = (re.search(rf'name="{axis}" value="([^"]+)"', there)[1] for axis in "xy")
    assert put(client, photo, x=x, y=y)["Location"] == f"{desk(job)}#photos"
    assert "leading edge" in client.get(desk(job)).content.decode()
    photo.refresh_from_db()
    assert (photo.x_m, photo.y_m) == (float(x), float(y))
    assert job.damages.count() == 0


def test_the_place_stands_in_both_lists_and_its_mark_on_both_drawings(client, job, photo):
    put(client, photo, **ON_THE_EDGE)
    for page in (desk(job), job.get_absolute_url()):
        shown = client.get(page).content.decode()
        assert 'class="photo-mark"' in shown
        assert shown.count(reverse("photo", args=[photo.key, "large"])) == 2
        assert re.search(r"photo-where.*?leading edge, 3\d\d mm right of centre", shown, re.S)
        assert "Pin elsewhere" in shown


def test_a_photo_taken_off_its_place_can_be_put_back_there(client, job, photo):
    put(client, photo, **ON_THE_EDGE)
    leads_to = client.post(reverse("photo-unplace", args=[photo.key]))["Location"]
    page = client.get(leads_to.partition("#")[0]).content.decode()
    assert "The photo is pinned to no place any more." in page
    assert 'class="photo-mark"' not in page
    put(
        client, photo, x=re.search(r"was_x=([^&]+)", leads_to)[1], y=re.search(r"was_y=([^&#]+)", leads_to)[1]
    )
    photo.refresh_from_db()
    assert photo_places.place_of(photo) == photo_places.Point(0.3, 0.02)
    assert "any more" not in client.get(leads_to.partition("#")[0]).content.decode()


@pytest.mark.parametrize(
    ("where", "says"),
    [(OFF, "m off the wing"), ({"x": "near"}, "The tap did not arrive"), ({}, "The tap did not")],
)
def test_a_tap_beside_the_drawing_is_said_and_still_waits_for_the_place(client, job, photo, where, says):
    response = put(client, photo, **where)
    assert response.status_code == 422
    page = response.content.decode()
    assert says in page
    assert "Where was this photo taken?" in page
    photo.refresh_from_db()
    assert photo_places.place_of(photo) is None


def test_a_removed_photo_has_no_mark_and_waits_for_none(client, job, photo, counter):
    put(client, photo, **ON_THE_EDGE)
    photos.remove(photo, counter)
    assert 'class="photo-mark"' not in client.get(desk(job)).content.decode()
    assert "Where was this photo taken?" not in client.get(f"{desk(job)}?photo={photo.key}").content.decode()
    assert put(client, photo, **ON_THE_EDGE).status_code == 422


def test_a_photo_of_another_job_is_not_pinned_here(client, counter, job, photo):
    other = JobFactory()
    assert (
        "Where was this photo taken?" not in client.get(f"{desk(other)}?photo={photo.key}").content.decode()
    )


def test_a_stranger_pins_nothing(stranger, photo):
    assert put(stranger, photo, **ON_THE_EDGE).status_code == 302
    photo.refresh_from_db()
    assert photo_places.place_of(photo) is None


def test_after_answers_that_change_the_questions_the_mark_is_still_there(client, job, photo):
    put(client, photo, **ON_THE_EDGE)
    damage = pin(client, job)
    assert 'class="photo-mark"' in answer(client, damage, kind="cut").content.decode()
