"""Which photos the customer sees is the shop's to choose, on the job sheet."""

import pytest
from django.urls import reverse

from shoprepair.jobs import photos
from shoprepair.jobs.models import Job, Photo, Stage
from shoprepair.shop import journal
from tests.counter.checking_in import picture
from tests.factories import DamageFactory, JobFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def job() -> Job:
    job = JobFactory(stage=Stage.ASSESSED)
    DamageFactory(job=job, number=1)
    return job


@pytest.fixture
def photo(job: Job, counter, settings, tmp_path) -> Photo:
    settings.MEDIA_ROOT = tmp_path
    return photos.keep(job, picture(), who=counter, damage=job.damages.get(), caption="The cut")


def share(client, photo: Photo, shared: str):
    return client.post(reverse("photo-share", args=[photo.key]), {"shared": shared})


def test_nobody_but_the_shop_sees_a_photo_until_it_is_shared(as_person, counter, job, photo):
    page = as_person(counter).get(job.get_absolute_url()).content.decode()
    assert "Show to customer" in page
    assert "Customer sees it" not in page


def test_a_shared_photo_says_so_and_can_be_hidden_again(as_person, counter, job, photo):
    client = as_person(counter)
    assert share(client, photo, "1")["Location"] == f"{job.get_absolute_url()}#photos"
    page = client.get(job.get_absolute_url()).content.decode()
    assert "Customer sees it" in page
    assert "Hide it" in page
    share(client, photo, "")
    assert "Customer sees it" not in client.get(job.get_absolute_url()).content.decode()


def test_sharing_and_hiding_are_in_the_journal_once_each(as_person, counter, job, photo):
    client = as_person(counter)
    for shared in ("1", "1", "", ""):
        share(client, photo, shared)
    assert [entry.text for entry in journal.entries(job)][:2] == [
        "A photo of damage 1 was hidden from the customer.",
        "A photo of damage 1 was shown to the customer.",
    ]
    assert journal.entries(job).filter(verb__in=["photo.shared", "photo.unshared"]).count() == 2


def test_a_visit_to_the_address_shares_nothing_and_a_stranger_neither(as_person, counter, stranger, photo):
    address = reverse("photo-share", args=[photo.key])
    assert as_person(counter).get(address).status_code == 405
    assert stranger.post(address, {"shared": "1"}).status_code == 302
    photo.refresh_from_db()
    assert not photo.shared


def test_there_is_nothing_to_share_under_an_unknown_key(as_person, counter):
    assert as_person(counter).post(reverse("photo-share", args=["none"])).status_code == 404
