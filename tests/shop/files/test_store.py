"""The shop's photos in a store that speaks S3: a real server of such a store, on this machine."""

from io import BytesIO

import pytest
from django.urls import reverse

from shoprepair import file_url
from shoprepair.jobs import photos
from shoprepair.jobs.models import Photo
from shoprepair.shop.archive.writing import write
from shoprepair.shop.files import Kept, folder, lie_in_a_folder
from tests.factories import DamageFactory
from tests.jobs.decoding.pictures import picture

pytestmark = [pytest.mark.django_db, pytest.mark.soak]
FILE = Kept("photos/ab/abc-large.jpg")


@pytest.fixture(scope="module")
def server():
    """A store that is empty and forgets everything."""
    at = pytest.importorskip("moto.server").ThreadedMotoServer(port=0, verbose=False)
    at.start()
    host, port = at.get_host_and_port()
    yield f"http://{host}:{port}"
    at.stop()


@pytest.fixture
def bucket(server, settings, tmp_path):
    boto3 = pytest.importorskip("boto3")
    settings.MEDIA_ROOT = tmp_path / "files"
    kept_at(settings, server)
    session = boto3.session.Session("key", "secret", region_name="us-east-1")
    made = session.resource("s3", endpoint_url=server).create_bucket(Bucket="loft")
    yield made
    made.objects.delete()


def kept_at(settings, endpoint: str) -> None:
    where = file_url.read(f"s3://key:secret@loft/files?endpoint={endpoint}&region=us-east-1")
    settings.STORAGES = {**settings.STORAGES, "default": where}


def names(bucket) -> list[str]:
    return sorted(each.key for each in bucket.objects.all())


def test_a_file_is_kept_read_and_taken_away(bucket):
    assert not lie_in_a_folder()
    assert not FILE.exists()
    FILE.write(iter([b"the ", b"cut"]))
    assert names(bucket) == ["files/photos/ab/abc-large.jpg"]
    assert FILE.read_bytes() == b"the cut"
    with pytest.raises(FileExistsError):
        FILE.write(b"another")
    FILE.unlink()
    FILE.unlink()
    assert names(bucket) == []
    with pytest.raises(FileNotFoundError):
        FILE.read_bytes()
    assert not folder().exists()


def test_a_photo_is_sent_seen_printed_and_leaves_in_an_archive(bucket, as_person, counter, tmp_path):
    job = DamageFactory().job
    photo = photos.keep(job, photos.read(BytesIO(picture(900, 700))), who=counter)
    assert len(names(bucket)) == 3
    client = as_person(counter)
    answer = client.get(reverse("photo", args=[photo.key, "small"]))
    assert b"".join(answer.streaming_content) == photos.file(photo, "small").read_bytes()
    assert client.get(reverse("work-order", args=[job.number])).status_code == 200
    made = write(tmp_path / "shop.zip")
    assert (made.files, made.missing) == (3, 0)
    assert not folder().exists()


def test_a_store_that_is_away_takes_no_photo_and_breaks_no_page(bucket, settings, as_person, counter):
    job = DamageFactory().job
    photo = photos.keep(job, BytesIO(picture()), who=counter)
    kept_at(settings, "http://127.0.0.1:9")
    with pytest.raises(ValueError, match="did not take the photo"):
        photos.keep(job, BytesIO(picture()), who=counter)
    assert Photo.objects.count() == 1
    client = as_person(counter)
    assert client.get(reverse("photo", args=[photo.key, "small"])).status_code == 404
    assert client.get(reverse("job", args=[job.number])).status_code == 200


def test_nothing_in_the_store_is_there_for_everybody(bucket, server):
    FILE.write(b"the cut")
    grants = bucket.Object(f"files/{FILE.name}").Acl().grants
    assert not any("AllUsers" in str(grant) for grant in grants)
