"""Photos at a step, and time that was forgotten and is put right."""

import datetime

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from shoprepair.jobs.models import Photo, Stage
from shoprepair.shop.models import Staff
from shoprepair.work import steps, stints
from shoprepair.work.models import StepPhoto, Stint
from tests.jobs.test_photos import as_file, picture
from tests.work.benching import on_the_bench

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _photos_go_to_a_folder_of_their_own(tmp_path, settings):
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def job(bench):
    return on_the_bench(bench)


@pytest.fixture
def client(as_person, bench):
    return as_person(bench)


def shoot(client, step, **more):
    sent = {
        "moment": "inside",
        "key": "shot",
        "photo": SimpleUploadedFile("a.jpg", as_file(picture(40, 30), "JPEG").read()),
        **more,
    }
    return client.post(reverse("bench-photo", args=[step.job.number, step.pk]), sent)


def test_a_photo_belongs_to_its_step_and_to_the_one_damage_that_the_step_is_about(client, job):
    step = steps.of(job)[2]
    answer = shoot(client, step, shared="1")
    assert answer.url.endswith(f"#photos-{step.pk}")
    kept = StepPhoto.objects.get()
    assert (kept.step, kept.moment) == (step, "inside")
    assert kept.photo.shared
    assert [kept.photo.damage.number] == step.damages
    shown = client.get(reverse("bench-step", args=[job.number, step.pk])).content.decode()
    assert "Customer sees it" in shown


def test_a_photo_is_ours_alone_unless_somebody_says_otherwise(client, job):
    shoot(client, steps.of(job)[0])
    assert not Photo.objects.get().shared


def test_a_photo_sent_twice_is_kept_once(client, job):
    for _ in range(2):
        shoot(client, steps.of(job)[0])
    assert Photo.objects.filter(removed_at=None).count() == StepPhoto.objects.count() == 1


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        ({"photo": ""}, "Take a photo, or choose one, first."),
        ({"moment": "never"}, "before, inside or after"),
        ({"photo": SimpleUploadedFile("a.txt", b"no picture")}, "not a photo"),
    ],
)
def test_what_is_no_photo_is_refused_in_words(client, job, sent, sentence):
    answer = shoot(client, steps.of(job)[0], **sent)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert not Photo.objects.exists()


def running_since(job, who: Staff, **ago) -> Stint:
    began = timezone.now() - datetime.timedelta(**ago)
    return Stint.objects.create(who=who, job=job, step=steps.of(job)[0], began_at=began)


def test_a_forgotten_stretch_is_noticed_by_whoever_looks_at_the_bench(as_person, counter, job, bench):
    running_since(job, bench, hours=26)
    shown = as_person(counter).get(reverse("bench")).content.decode()
    assert "The time of <bdi>Tomek Brandal</bdi>" in " ".join(shown.split())
    assert "Correct" in shown


def test_a_forgotten_stretch_is_put_right_with_the_reason(client, job, bench):
    stint = running_since(job, bench, hours=26)
    ended = timezone.localtime(stint.began_at + datetime.timedelta(minutes=30))
    sent = {"ended_at": f"{ended:%Y-%m-%dT%H:%M:%S}", "why": "Forgot to stop it."}
    assert client.post(reverse("bench-time-mend", args=[stint.pk]), sent).status_code == 302
    stint.refresh_from_db()
    assert round(stints.minutes_of([stint])) == 30
    assert stint.mended


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        ({"ended_at": "2020-01-01T10:00", "why": "x"}, "cannot end before it began"),
        ({"ended_at": "2090-01-01T10:00", "why": "x"}, "cannot end in the future"),
        ({"ended_at": "soon", "why": "x"}, "Give a day and a time"),
        ({"ended_at": "2020-01-01T10:00", "why": ""}, "Say why"),
    ],
)
def test_an_end_that_cannot_be_is_refused_beside_its_field(client, job, bench, sent, sentence):
    stint = running_since(job, bench, hours=26)
    answer = client.post(reverse("bench-time-mend", args=[stint.pk]), sent)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()


def test_a_person_stops_their_own_time(client, job, bench):
    running_since(job, bench, minutes=5)
    client.post(reverse("bench-stop"))
    assert stints.running(bench) is None
    assert "Nothing of yours was running." in client.post(reverse("bench-stop"), follow=True).content.decode()


def test_a_job_whose_steps_are_over_goes_on_to_its_hold_test_once(client, job):
    where = reverse("bench-all-done", args=[job.number])
    refused = client.post(where)
    assert refused.status_code == 422
    assert "Do every step" in refused.content.decode()
    job.steps.update(state="skipped", reason="Shown only")
    for _ in range(2):
        assert client.post(where).url == reverse("hold-test", args=[job.number])
    job.refresh_from_db()
    assert job.stage == Stage.HOLD_TEST
