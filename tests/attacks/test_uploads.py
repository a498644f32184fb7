"""Whatever is sent as a photo: a plain sentence, or a plain JPEG of it, and nothing else that stays."""

import io
import random
import resource
import struct
import zipfile
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image, PngImagePlugin

from shoprepair.jobs.models import Job, Photo
from shoprepair.jobs.photos import SIZES, file
from shoprepair.shop import files
from tests.factories import DamageFactory
from tests.jobs.decoding.pictures import jpeg_stating, picture, png_stating, webp_stating

pytestmark = pytest.mark.django_db
SCRIPT = b"<script>alert('wing')</script>"


@pytest.fixture(autouse=True)
def _folders(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path / "files"
    settings.FILE_UPLOAD_TEMP_DIR = tmp_path / "coming"
    settings.FILE_UPLOAD_MAX_MEMORY_SIZE = 1000
    settings.FILE_UPLOAD_TEMP_DIR.mkdir()


@pytest.fixture
def client(as_person, counter):
    client = as_person(counter)
    client.raise_request_exception = False
    return client


@pytest.fixture
def job(db) -> Job:
    return DamageFactory().job


def send(client, job: Job, content: bytes, name: str = "wing.jpg"):
    sent = SimpleUploadedFile(name, content, "image/jpeg")
    return client.post(reverse("photo-add", args=[job.number]), {"photo": sent})


def refused(client, job: Job, content: bytes, name: str = "wing.jpg") -> str:
    answer = send(client, job, content, name)
    assert answer.status_code == 422
    assert not Photo.objects.exists()
    nothing_stays()
    return answer.content.decode()


def kept(client, job: Job, content: bytes, name: str = "wing.jpg") -> list[bytes]:
    """What is served of it, in all sizes."""
    assert send(client, job, content, name).status_code == 302
    photo = Photo.objects.get()
    served = []
    for size in SIZES:
        answer = client.get(reverse("photo", args=[photo.key, size]))
        assert answer["Content-Type"] == "image/jpeg"
        assert answer["X-Content-Type-Options"] == "nosniff"
        assert answer["Content-Security-Policy"].startswith("sandbox; default-src 'none'")
        served.append(b"".join(answer.streaming_content))
        assert served[-1] == file(photo, size).read_bytes()
        assert Image.open(io.BytesIO(served[-1])).format == "JPEG"
    assert len(list(files.folder().rglob("*.*"))) == len(SIZES)
    assert not list(files.folder().rglob("*.part"))
    return served


def nothing_stays() -> None:
    assert not list(files.folder().rglob("*.*"))
    assert not list((files.folder().parent / "coming").iterdir())


@pytest.mark.parametrize("stating", [png_stating, webp_stating, jpeg_stating])
def test_a_picture_that_would_fill_the_memory_is_refused_by_its_header(client, job, stating):
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    assert "million pixels" in refused(client, job, stating(13_000, 13_000))
    assert "longer than 12000 pixels" in refused(client, job, stating(12_500, 3_900))
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < 150_000


def test_a_hair_of_sixty_five_thousand_pixels_is_refused(client, job):
    assert "too thin" in refused(client, job, png_stating(65_000, 1))


OTHERS = {
    "EPS": b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 8 8\n%%EndComments\nshowpage\n",
    "PSD": b"8BPS\0\1" + bytes(6) + struct.pack(">HIIHH", 3, 8, 8, 8, 3) + bytes(12),
    "PDF": b"%PDF-1.7\n1 0 obj<</Type/Catalog>>endobj\n",
    "SVG": b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'><image href='file:///etc/passwd'/></svg>",
    "HEIC": b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + bytes(40),
    "AVIF": b"\0\0\0\x1cftypavif\0\0\0\0avifmif1miaf" + bytes(40),
    "HTML": b"<!DOCTYPE html><script>alert(1)</script>",
    "ZIP": b"PK\x03\x04" + bytes(60),
    "GIF": picture(8, 8, "GIF"),
    "TIFF": picture(8, 8, "TIFF"),
    "BMP": picture(8, 8, "BMP"),
    "JPEG 2000": b"\0\0\0\x0cjP  \r\n\x87\n" + bytes(40),
}


def test_nothing_else_is_taken_for_a_photo_by_its_name(client, job):
    for kind, content in OTHERS.items():
        assert "This file is not a photo." in refused(client, job, content, "wing.png"), kind


@pytest.mark.parametrize("form", ["PNG", "WEBP", "MPO"])
def test_of_a_moving_picture_and_of_two_in_one_the_first_is_kept(client, job, form):
    more = {"save_all": True, "append_images": [Image.new("RGB", (64, 48), "white")] * 3}
    for content in kept(client, job, picture(form=form, **more)):
        assert max(Image.open(io.BytesIO(content)).getpixel((30, 20))) < 10


def with_words(form: str) -> bytes:
    if form == "PNG":
        words = PngImagePlugin.PngInfo()
        words.add_text("Comment", SCRIPT.decode())
        return picture(form="PNG", pnginfo=words)
    if form == "ZIP":
        archive = io.BytesIO(picture())
        archive.seek(0, io.SEEK_END)
        with zipfile.ZipFile(archive, "a") as inside:
            inside.writestr("a.html", SCRIPT)
        return archive.getvalue()
    return picture(form=form, **({"comment": SCRIPT} if form == "JPEG" else {"xmp": SCRIPT})) + SCRIPT


@pytest.mark.parametrize("form", ["PNG", "JPEG", "WEBP", "ZIP"])
def test_what_is_two_things_at_once_comes_out_as_a_picture_alone(client, job, form):
    sent = with_words(form)
    assert SCRIPT in sent
    for content in kept(client, job, sent, "wing.html"):
        assert b"script" not in content
        assert b"PK\x03\x04" not in content


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_nothing_that_a_camera_says_of_itself_or_its_owner_stays(client, job, form):
    exif = Image.Exif()
    exif[0x0112], exif[0x010F], exif[0xA431], exif[0x013B] = 6, "A maker", "serial 4711", "Ilka Sandvoort"
    exif.get_ifd(0x8825).update({1: "N", 2: (59.0, 54.0, 0.0)})
    hidden = {"exif": exif, "icc_profile": b"profile of Ilka", "xmp": b"<x:xmpmeta>Ilka</x:xmpmeta>"}
    if form == "PNG":
        hidden.pop("xmp")
    for content in kept(client, job, picture(form=form, **hidden)):
        found = Image.open(io.BytesIO(content))
        assert found.size == (48, 64)
        assert not found.getexif()
        assert not {"exif", "icc_profile", "xmp", "comment"} & set(found.info)
        assert not any(word in content for word in (b"maker", b"4711", b"Ilka", b"Sandvoort"))


NAMES = [
    "../../../etc/cron.d/wing.jpg",
    "w" * 300 + ".jpg",
    "wing.php.png",
    "CON.jpg",
    "wing\u202egpj.exe",
    "<img src=x onerror=alert(1)>.jpg",
]


@pytest.mark.parametrize("name", NAMES)
def test_the_name_that_was_sent_names_nothing(client, job, name):
    kept(client, job, picture(), name)
    photo = Photo.objects.get()
    assert {path.name for path in files.folder().rglob("*.*")} == {
        f"{photo.key}-{size}.jpg" for size in SIZES
    }


def test_a_name_is_said_again_as_plain_words(client, job):
    for name in NAMES:
        assert "<img src=x" not in refused(client, job, b"no photo", name)


def test_a_name_with_a_byte_of_nothing_is_no_error_of_ours(client, job):
    body = (
        b'--wing\r\nContent-Disposition: form-data; name="photo"; filename="wing\0.php.jpg"\r\n'
        b"Content-Type: image/jpeg\r\n\r\n" + picture() + b"\r\n--wing--\r\n"
    )
    assert send_raw(client, job, body).status_code in {302, 400, 422}
    assert not any("php" in path.name for path in files.folder().rglob("*"))


def send_raw(client, job: Job, body: bytes, **more: str):
    kind = "multipart/form-data; boundary=wing"
    return client.post(reverse("photo-add", args=[job.number]), body, content_type=kind, **more)


def test_a_photo_sent_as_letters_is_read_or_refused_but_never_an_error(client, job):
    head = (
        b'--wing\r\nContent-Disposition: form-data; name="photo"; filename="wing.jpg"\r\n'
        b"Content-Transfer-Encoding: base64\r\n\r\n"
    )
    for body in (b"%%%not base64%%%", b"=" * 5000, b"A" * 4999):
        assert send_raw(client, job, head + body + b"\r\n--wing--\r\n").status_code in {400, 422}
    nothing_stays()


@pytest.mark.parametrize("share", [0.1, 0.5, 0.99])
def test_of_an_upload_that_is_cut_off_nothing_stays(client, job, share):
    noise = Image.effect_noise((200, 150), 80).convert("RGB")
    whole = io.BytesIO()
    noise.save(whole, "JPEG")
    head = b'--wing\r\nContent-Disposition: form-data; name="photo"; filename="wing.jpg"\r\n\r\n'
    body = head + whole.getvalue()
    assert send_raw(client, job, body[: int(len(body) * share)]).status_code in {400, 422}
    assert not Photo.objects.exists()
    nothing_stays()


@pytest.mark.parametrize(
    "content",
    [
        picture(form="JPEG", mode="CMYK"),
        picture(form="PNG", mode="I;16"),
        picture(form="PNG", mode="P"),
        picture(form="PNG", mode="1"),
        picture(form="WEBP", mode="RGBA"),
    ],
    ids=["CMYK", "16 bits", "palette", "1 bit", "clear"],
)
def test_a_picture_of_any_make_comes_out_plain(client, job, content):
    assert {Image.open(io.BytesIO(made)).mode for made in kept(client, job, content)} == {"RGB"}


@pytest.mark.parametrize("stating", [png_stating, jpeg_stating])
def test_a_picture_of_no_size_is_refused(client, job, stating):
    for size in ((0, 0), (0, 8), (8, 0)):
        refused(client, job, stating(*size))


def test_broken_pictures_are_never_an_error_of_ours(client, job):
    """Bytes are changed by chance, the same each time."""
    chance = random.Random(8)
    for form in ("JPEG", "PNG", "WEBP"):
        for _ in range(3):
            broken = bytearray(picture(form=form))
            broken[chance.randrange(len(broken))] ^= 1 << chance.randrange(8)
            assert send(client, job, bytes(broken)).status_code in {302, 422}


def test_a_photo_is_whole_on_the_disk_before_its_row_is_written(client, job):
    from django.db import connection

    seen: list[list[Path]] = []

    def watch(execute, sql, *rest):
        if sql.startswith('INSERT INTO "jobs_photo"'):
            seen.append(sorted(path for path in files.folder().rglob("*.*")))
        return execute(sql, *rest)

    with connection.execute_wrapper(watch):
        kept(client, job, picture())
    photo = Photo.objects.get()
    assert seen == [sorted(files.folder() / file(photo, size).name for size in SIZES)]


def test_where_no_file_can_be_written_the_page_says_so_and_the_rest_works(client, job):
    files.folder().write_text("not a folder")
    assert "disk did not take the photo" in refused_by_the_disk(client, job)
    assert client.get(reverse("job", args=[job.number])).status_code == 200
    files.folder().unlink()
    kept(client, job, picture())


def refused_by_the_disk(client, job: Job) -> str:
    answer = send(client, job, picture())
    assert answer.status_code == 422
    assert not Photo.objects.exists()
    return answer.content.decode().replace("&#x27;", "'")


def test_a_photo_whose_file_is_gone_is_not_found_and_its_page_still_opens(client, job):
    kept(client, job, picture())
    photo = Photo.objects.get()
    for size in SIZES:
        file(photo, size).unlink()
        assert client.get(reverse("photo", args=[photo.key, size])).status_code == 404
    assert client.get(reverse("job", args=[job.number])).status_code == 200
