import io
import zlib

import pytest
from django.urls import reverse
from PIL import Image

from shoprepair.jobs import photos
from shoprepair.jobs.models import Job, Photo
from tests.counter.checking_in import HTMX, desk, enquiry, picture, pin

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


@pytest.fixture
def job(counter) -> Job:
    return enquiry(counter)


def send(client, job, *files, htmx=True, **fields):
    address = reverse("photo-add", args=[job.number])
    return client.post(address, {"photo": files, **fields}, **(HTMX if htmx else {}))


def hundred_megapixels() -> io.BytesIO:
    """A header that states 10,000 × 10,000 pixels and little behind it."""
    file = io.BytesIO()
    Image.new("1", (8, 8)).save(file, "PNG")
    content = bytearray(file.getvalue())
    content[16:24] = (10_000).to_bytes(4, "big") * 2
    content[29:33] = zlib.crc32(content[12:29]).to_bytes(4, "big")
    bomb = io.BytesIO(bytes(content))
    bomb.name = "sky.png"
    return bomb


def test_a_photo_is_kept_of_the_damage_it_shows_and_comes_back_to_be_seen(client, job):
    damage = pin(client, job)
    response = send(client, job, picture(), damage="1", key="k")
    photo = Photo.objects.get()
    assert (photo.damage, photo.job) == (damage, job)
    page = response.content.decode()
    assert reverse("photo", args=[photo.key, "small"]) in page
    assert "<html" not in page
    assert reverse("photo", args=[photo.key, "small"]) in client.get(desk(job)).content.decode()


def test_a_photo_sent_twice_is_kept_once(client, job):
    for _ in range(2):
        assert send(client, job, picture(), key="k").status_code == 200
    assert Photo.objects.count() == 1


def test_several_photos_at_once_are_all_kept_without_a_script(client, job):
    response = send(client, job, picture(), picture(), htmx=False, key="k")
    assert response.url == f"{desk(job)}#photos"
    assert Photo.objects.filter(damage=None).count() == 2


def test_a_file_that_is_no_photo_is_named_with_the_reason(client, job):
    text = io.BytesIO(b"<svg onload=x()>")
    text.name = "<b>wing</b>.jpg"
    fragment = send(client, job, text, key="k")
    assert fragment.status_code == 422
    assert "This file is not a photo" in fragment.content.decode()
    text.seek(0)
    page = send(client, job, text, picture(), htmx=False, key="l")
    assert page.status_code == 422
    assert "<b>wing" not in page.content.decode()
    assert "1 of them is kept" in page.content.decode()
    assert Photo.objects.count() == 1


def test_a_picture_of_a_hundred_million_pixels_is_refused_before_it_is_opened(client, job):
    fragment = send(client, job, hundred_megapixels(), key="k")
    assert fragment.status_code == 422
    assert "million pixels. Send it smaller." in fragment.content.decode()
    assert not Photo.objects.exists()


def test_a_form_with_a_key_that_is_not_ours_keeps_nothing(client, job):
    assert send(client, job, picture(), key="k" * 80).status_code == 422
    assert not Photo.objects.exists()


def test_sending_nothing_says_what_to_do(client, job):
    response = send(client, job, htmx=False)
    assert response.status_code == 422
    assert "Take one, or choose one, first." in response.content.decode()


def test_a_photo_of_a_damage_that_is_not_there_is_one_of_the_whole(client, job):
    send(client, job, picture(), damage="77", key="k")
    send(client, job, picture(), damage="x", key="l")
    assert Photo.objects.filter(damage=None).count() == 2


def test_photos_are_served_as_pictures_that_the_browser_may_keep_to_itself(client, job):
    send(client, job, picture(), key="k")
    photo = Photo.objects.get()
    response = client.get(reverse("photo", args=[photo.key, "small"]))
    assert response["Content-Type"] == "image/jpeg"
    assert "private" in response["Cache-Control"]
    assert Image.open(io.BytesIO(response.getvalue())).size == (400, 300)
    assert client.get(reverse("photo", args=[photo.key, "original"])).status_code == 404
    assert client.get(reverse("photo", args=["nothing", "small"])).status_code == 404


def test_a_stranger_sees_no_photo_and_sends_none(client, stranger, job):
    send(client, job, picture(), key="k")
    address = reverse("photo", args=[Photo.objects.get().key, "small"])
    assert stranger.get(address).url.startswith(reverse("login"))
    assert send(stranger, job, picture(), htmx=False).url.startswith(reverse("login"))
    assert Photo.objects.count() == 1


def test_a_removed_photo_can_be_brought_back(client, job):
    send(client, job, picture(), key="k")
    photo = Photo.objects.get()
    page = client.post(reverse("photo-remove", args=[photo.key]), **HTMX).content.decode()
    assert "Photo removed." in page
    assert reverse("photo", args=[photo.key, "small"]) not in client.get(desk(job)).content.decode()
    page = client.post(reverse("photo-restore", args=[photo.key]), **HTMX).content.decode()
    assert reverse("photo", args=[photo.key, "small"]) in page
    assert client.post(reverse("photo-remove", args=[photo.key])).url == f"{desk(job)}#photos"
    assert client.post(reverse("photo-restore", args=[photo.key]), {"next": "/jobs/1/"}).url == "/jobs/1/"


def test_a_photo_that_is_gone_from_the_disk_is_not_found(client, job):
    send(client, job, picture(), key="k")
    photo = Photo.objects.get()
    photos.file(photo, "small").unlink()
    assert client.get(reverse("photo", args=[photo.key, "small"])).status_code == 404
