"""The shop's photos in a store that speaks S3: a real server of such a store, on this machine."""

import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from datetime import timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from io import BytesIO
from threading import Thread

import pytest
from django.core.management import call_command
from django.urls import reverse
from django.utils import timezone

from shoprepair import file_url
from shoprepair.jobs import photos
from shoprepair.shop.archive.writing import write
from shoprepair.shop.backup import checking, sweeping, writing
from shoprepair.shop.files import Kept, folder, lie_in_a_folder, waiting
from shoprepair.shop.files.trouble import Spoiled
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
    settings.DATA_DIR = tmp_path
    kept_at(settings, server)
    session = boto3.session.Session("key", "secret", region_name="us-east-1")
    made = session.resource("s3", endpoint_url=server).create_bucket(Bucket="loft")
    yield made
    made.objects.delete()


def kept_at(settings, endpoint: str) -> None:
    where = file_url.read(f"s3://key:secret@loft/files?endpoint={endpoint}&region=us-east-1")
    settings.STORAGES = {**settings.STORAGES, "default": where}


def store_that(does: str) -> Callable[[], AbstractContextManager[str]]:
    """A store that misbehaves in one way."""

    class Answer(BaseHTTPRequestHandler):
        def do_HEAD(self) -> None:
            self._say(404)

        def do_PUT(self) -> None:
            self.rfile.read(int(self.headers["Content-Length"]))
            if does == "is slow":
                time.sleep(30)
            self._say(403 if does == "refuses" else 200)

        def _say(self, status: int) -> None:
            self.send_response(status)
            self.send_header("ETag", '"0123456789abcdef0123456789abcdef"')
            self.send_header("Content-Length", "0")
            self.end_headers()

        def log_message(self, *_said: object) -> None:
            """Nothing."""

    @contextmanager
    def served() -> Iterator[str]:
        server = ThreadingHTTPServer(("127.0.0.1", 0), Answer)
        server.daemon_threads, server.block_on_close = True, False
        Thread(target=server.serve_forever, daemon=True).start()
        try:
            yield f"http://127.0.0.1:{server.server_port}"
        finally:
            server.shutdown()
            server.server_close()

    return served


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


@pytest.fixture
def job():
    return DamageFactory().job


def shown(client, photo) -> bytes:
    answer = client.get(reverse("photo", args=[photo.key, "small"]))
    return b"".join(answer.streaming_content) if answer.status_code == 200 else b""


def test_a_photo_waits_here_while_the_store_is_away_is_seen_and_goes_there_later(
    bucket, server, settings, as_person, counter, job
):
    kept_before = photos.keep(job, BytesIO(picture()), who=counter)
    kept_at(settings, "http://127.0.0.1:9")
    photo, client = photos.keep(job, BytesIO(picture()), who=counter), as_person(counter)
    assert len(waiting.names()) == 3
    assert shown(client, photo)
    assert waiting.bring_all() == 0
    missing = client.get(reverse("photo", args=[kept_before.key, "small"]))
    assert (missing.status_code, missing["Content-Type"]) == (404, "image/svg+xml")
    assert client.get(reverse("job", args=[job.number])).status_code == 200

    kept_at(settings, server)
    assert waiting.bring_all() == 3
    assert waiting.names() == []
    assert len(names(bucket)) == 6
    assert shown(client, photo)
    assert shown(client, kept_before)


@pytest.mark.parametrize(
    "answers", [store_that("refuses"), store_that("is slow"), store_that("keeps something else")]
)
def test_whatever_the_store_does_the_photo_is_kept_here_and_nobody_waits_long(
    answers, bucket, settings, counter, job
):
    with answers() as endpoint:
        kept_at(settings, endpoint)
        began = time.monotonic()
        photos.keep(job, BytesIO(picture()), who=counter)
        assert time.monotonic() - began < 25
        assert len(waiting.names()) == 3


@pytest.mark.django_db(transaction=True)
def test_a_photo_that_the_store_gives_back_otherwise_is_not_shown_but_put_back_from_the_backup(
    bucket, as_person, counter, job, tmp_path, settings
):
    photo, client = photos.keep(job, BytesIO(picture()), who=counter), as_person(counter)
    name = photos.file(photo, "small").name
    made = writing.make(backups_of(settings, tmp_path))
    assert f"files/{name}" in made.manifest.files
    before = bucket.Object(f"files/{name}").get()
    whole = before["Body"].read()
    bucket.Object(f"files/{name}").put(Body=whole[:-1] + b"!", Metadata=before["Metadata"])
    assert not shown(client, photo)
    with pytest.raises(Spoiled):
        photos.file(photo, "small").read_bytes()
    assert checking.check(every=1) == checking.Checked(looked_at=3, spoiled=[name])

    call_command("restore", file=name)
    assert shown(client, photo) == whole
    assert checking.check(every=1) == checking.Checked(looked_at=3)


def backups_of(settings, tmp_path):
    settings.DATA_DIR, settings.BACKUP_DIR = tmp_path, tmp_path / "backups"
    settings.BACKUP_DIR.mkdir()
    return settings.BACKUP_DIR


@pytest.mark.django_db(transaction=True)
def test_a_backup_made_while_the_store_is_away_has_all_that_was_known_and_tells_the_rest(
    bucket, server, settings, counter, job, tmp_path
):
    folder_of_backups = backups_of(settings, tmp_path)
    photos.keep(job, BytesIO(picture()), who=counter)
    assert writing.make(folder_of_backups).manifest.photos == 3
    photos.keep(job, BytesIO(picture()), who=counter)
    kept_at(settings, "http://127.0.0.1:9")
    made = writing.make(folder_of_backups, now=timezone.now() + timedelta(minutes=1))
    assert made.manifest.photos == 3
    assert len(made.manifest.missing) == 3
    kept_at(settings, server)
    made = writing.make(folder_of_backups, now=timezone.now() + timedelta(minutes=2))
    assert (made.manifest.photos, made.manifest.missing) == (6, [])


def test_what_no_record_names_goes_from_the_store_too(bucket, counter, job, monkeypatch):
    photo = photos.keep(job, BytesIO(picture()), who=counter)
    FILE.write(b"the cut")
    assert sweeping.sweep().gone == []
    monkeypatch.setattr(sweeping, "A_DAY", timedelta(seconds=-60))
    bucket.Object(f"files/{photos.file(photo, 'large').name}").delete()
    swept = sweeping.sweep()
    assert (swept.gone, swept.bytes) == ([FILE.name], 7)
    assert swept.missing == [photos.file(photo, "large").name]
    assert len(names(bucket)) == 2


def test_an_archive_lies_in_the_store_so_that_every_machine_has_it(
    bucket, owner, as_person, settings, tmp_path
):
    settings.DATA_DIR = tmp_path / "one"
    client = as_person(owner)
    assert client.post(reverse("archive")).status_code == 302
    settings.DATA_DIR = tmp_path / "other"
    fetched = b"".join(client.get(reverse("archive-download")).streaming_content)
    assert fetched.startswith(b"PK")
    assert [name for name in names(bucket) if name.startswith("files/archives/shop-")]


def test_nothing_in_the_store_is_there_for_everybody(bucket, server):
    FILE.write(b"the cut")
    grants = bucket.Object(f"files/{FILE.name}").Acl().grants
    assert not any("AllUsers" in str(grant) for grant in grants)
