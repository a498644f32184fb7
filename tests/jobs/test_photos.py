import os
import shutil
from io import BytesIO
from pathlib import Path
from types import SimpleNamespace

import pytest
from PIL import Image, ImageDraw, ImageFile, PngImagePlugin

from shoprepair.jobs import photos
from shoprepair.jobs.decoding.bounds import Why
from shoprepair.jobs.models import Job, Photo, Stage
from shoprepair.shop import files, journal
from shoprepair.shop.models import Staff
from tests.factories import DamageFactory, JobFactory

pytestmark = pytest.mark.django_db
ORIENTATION, GPS, MAKER = 0x0112, 0x8825, 0x010F
NOT_A_PHOTO = "This file is not a photo. Send a JPEG, PNG or WebP picture."
TOO_MANY_PIXELS = "This picture has more than 50 million pixels. Send it smaller."
BROKEN = "This photo is broken or was cut off on its way. Send it again."


@pytest.fixture
def job(db: None, settings, tmp_path: Path) -> Job:
    settings.MEDIA_ROOT = tmp_path
    return JobFactory()


def picture(width: int = 2000, height: int = 1500, mode: str = "RGB") -> Image.Image:
    """Red on its left half, so that which side is up can be seen."""
    image = Image.new(mode, (width, height), "white")
    ImageDraw.Draw(image).rectangle([0, 0, width // 2, height], fill="red" if mode != "L" else 90)
    return image


def as_file(image: Image.Image, form: str, **options: object) -> BytesIO:
    file = BytesIO()
    image.save(file, form, **options)
    file.seek(0)
    return file


def opened(photo: Photo, size: str) -> Image.Image:
    return Image.open(BytesIO(photos.file(photo, size).read_bytes()))


def refused(job: Job, who: Staff, file: BytesIO) -> str:
    with pytest.raises(ValueError) as refusal:
        photos.keep(job, file, who=who)
    assert not Photo.objects.exists()
    assert not list(files.folder().rglob("*.jpg"))
    return str(refusal.value)


@pytest.mark.parametrize("form", ["JPEG", "MPO", "PNG", "WEBP"])
def test_a_photo_is_kept_in_three_sizes(job: Job, counter: Staff, form: str) -> None:
    photo = photos.keep(job, as_file(picture(), form), who=counter, caption="  At the  centre ")
    sizes = {size: opened(photo, size).size for size in photos.SIZES}
    assert sizes == {"large": (1600, 1200), "medium": (1000, 750), "small": (400, 300)}
    assert {opened(photo, size).format for size in photos.SIZES} == {"JPEG"}
    assert (photo.width, photo.height, photo.caption) == (1600, 1200, "At the centre")
    assert photo.taken_by == counter


def test_a_small_photo_is_not_blown_up(job: Job, counter: Staff) -> None:
    photo = photos.keep(job, as_file(picture(300, 200), "PNG"), who=counter)
    assert {opened(photo, size).size for size in photos.SIZES} == {(300, 200)}


@pytest.mark.parametrize(
    ("orientation", "size", "red"),
    [
        (1, (1600, 1200), (100, 600)),
        (3, (1600, 1200), (1500, 600)),
        (6, (1200, 1600), (600, 100)),
        (8, (1200, 1600), (600, 1500)),
    ],
)
def test_a_photo_taken_on_its_side_is_turned_upright(
    job: Job, counter: Staff, orientation: int, size: tuple[int, int], red: tuple[int, int]
) -> None:
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    photo = photos.keep(job, as_file(picture(), "JPEG", exif=exif), who=counter)
    large = opened(photo, "large")
    assert large.size == size
    r, g, _ = large.getpixel(red)
    assert r > 200 > 100 > g


def test_where_and_with_what_a_photo_was_taken_is_forgotten(job: Job, counter: Staff) -> None:
    exif = Image.Exif()
    exif[MAKER] = "a camera that can be traced"
    exif[GPS] = {1: "N", 2: (59.0, 54.0, 0.0)}
    file = as_file(
        picture(), "JPEG", exif=exif, icc_profile=b"profile of Ilka", xmp=b"<x:xmpmeta>Ilka</x:xmpmeta>"
    )
    assert b"traced" in file.getvalue()
    assert b"Ilka" in file.getvalue()
    photo = photos.keep(job, file, who=counter)
    for size in photos.SIZES:
        kept = photos.file(photo, size).read_bytes()
        assert b"traced" not in kept
        assert b"Ilka" not in kept
        image = opened(photo, size)
        assert not image.getexif()
        assert not {"icc_profile", "xmp", "exif", "comment"} & set(image.info)


def test_words_hidden_in_a_png_are_forgotten(job: Job, counter: Staff) -> None:
    words = PngImagePlugin.PngInfo()
    words.add_text("Author", "Ilka Sandvoort")
    photo = photos.keep(job, as_file(picture(), "PNG", pnginfo=words), who=counter)
    assert b"Sandvoort" not in photos.file(photo, "large").read_bytes()


def test_what_hangs_behind_a_picture_is_cut_off(job: Job, counter: Staff) -> None:
    file = BytesIO(as_file(picture(), "JPEG").getvalue() + b"<script>alert(1)</script>PK")
    photo = photos.keep(job, file, who=counter)
    assert b"script" not in photos.file(photo, "large").read_bytes()


@pytest.mark.parametrize("form", ["TIFF", "GIF", "EPS", "BMP", "ICO", "PPM"])
def test_another_kind_of_picture_by_the_name_of_a_photo_is_refused(
    job: Job, counter: Staff, form: str
) -> None:
    file = as_file(picture(64, 64), form)
    file.name = "photo.jpg"
    assert refused(job, counter, file) == NOT_A_PHOTO


@pytest.mark.parametrize(
    "content",
    [b"This is a letter.", b"%PDF-1.7 \n", b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"\0" * 99],
)
def test_a_file_that_is_no_picture_is_refused(job: Job, counter: Staff, content: bytes) -> None:
    assert refused(job, counter, BytesIO(content)) == NOT_A_PHOTO


def test_an_empty_file_is_refused(job: Job, counter: Staff) -> None:
    assert refused(job, counter, BytesIO()) == "This file is empty. Take the photo again."


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_a_photo_that_was_cut_off_is_refused(job: Job, counter: Staff, form: str, share: float) -> None:
    whole = as_file(Image.effect_noise((600, 400), 80).convert("RGB"), form).getvalue()
    sentence = refused(job, counter, BytesIO(whole[: int(len(whole) * share)]))
    assert sentence in {BROKEN, NOT_A_PHOTO}


def test_a_cut_off_photo_is_refused_even_after_papers_were_printed(
    job: Job, counter: Staff, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)
    whole = as_file(picture(), "JPEG").getvalue()
    assert refused(job, counter, BytesIO(whole[: len(whole) // 2])) == BROKEN
    assert ImageFile.LOAD_TRUNCATED_IMAGES


def test_a_photo_that_was_damaged_on_its_way_is_refused(job: Job, counter: Staff) -> None:
    whole = bytearray(as_file(picture(), "PNG").getvalue())
    whole[len(whole) // 2] ^= 0xFF
    assert refused(job, counter, BytesIO(bytes(whole))) == BROKEN


def test_a_picture_of_a_hundred_megapixels_is_refused_by_its_header(job: Job, counter: Staff) -> None:
    file = as_file(Image.new("1", (10_000, 10_000)), "PNG")
    assert refused(job, counter, file) == TOO_MANY_PIXELS


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_the_limit_of_pixels_holds_for_every_kind_of_photo(
    job: Job, counter: Staff, form: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(photos, "MOST_PIXELS", 1_000_000)
    assert refused(job, counter, as_file(picture(1001, 1000), form)) == TOO_MANY_PIXELS.replace(
        "50 million", "1 million"
    )


def test_a_hair_of_a_picture_is_no_photo(job: Job, counter: Staff) -> None:
    file = as_file(Image.new("RGB", (60_000, 1)), "PNG")
    assert refused(job, counter, file) == "This picture is too thin to be a photo."


def test_a_very_long_picture_is_kept_as_far_as_it_goes(job: Job, counter: Staff) -> None:
    photo = photos.keep(job, as_file(Image.new("RGB", (9000, 4)), "PNG"), who=counter)
    assert opened(photo, "small").size == (400, 1)


def test_a_file_beyond_the_limit_is_not_even_looked_at(
    job: Job, counter: Staff, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(photos, "MOST_BYTES", 5_000_000)
    file = BytesIO(b"\xff" * 6_000_000)
    assert refused(job, counter, file) == "This photo is larger than 5 MB. Send it smaller."
    assert file.tell() == 5_000_001
    assert refused(job, counter, BytesIO(b"\xff" * 5_000_000)) == NOT_A_PHOTO


def test_a_photo_that_was_read_before_is_kept_as_it_was_read(job: Job, counter: Staff) -> None:
    read = photos.read(as_file(picture(60, 40), "JPEG"))
    photo = photos.keep(job, read, who=counter)
    assert {size: photos.file(photo, size).read_bytes() for size in photos.SIZES} == {
        size: made.content for size, made in read.items()
    }


def test_where_the_folder_of_photos_is_none_the_disk_is_to_blame(
    job: Job, counter: Staff, settings, tmp_path: Path
) -> None:
    settings.MEDIA_ROOT = tmp_path / "photos"
    settings.MEDIA_ROOT.write_text("not a folder")
    said = refused(job, counter, as_file(picture(60, 40), "JPEG"))
    assert said.startswith("The shop's disk did not take the photo")


@pytest.mark.parametrize("mode", ["L", "CMYK", "P", "LA", "RGBA", "I;16", "1", "YCbCr"])
def test_a_picture_of_any_make_becomes_a_plain_one(job: Job, counter: Staff, mode: str) -> None:
    form = "JPEG" if mode in {"CMYK", "YCbCr"} else "PNG"
    source = Image.new("I;16", (800, 600), 40_000) if mode == "I;16" else picture(800, 600).convert(mode)
    photo = photos.keep(job, as_file(source, form), who=counter)
    assert opened(photo, "large").mode == "RGB"


def test_sixteen_bits_of_grey_stay_grey(job: Job, counter: Staff) -> None:
    photo = photos.keep(job, as_file(Image.new("I;16", (80, 60), 32_768), "PNG"), who=counter)
    assert opened(photo, "large").getpixel((40, 30)) == (128, 128, 128)


def test_where_a_picture_is_clear_it_becomes_white(job: Job, counter: Staff) -> None:
    photo = photos.keep(job, as_file(Image.new("RGBA", (80, 60), (0, 0, 0, 0)), "PNG"), who=counter)
    assert opened(photo, "large").getpixel((40, 30)) == (255, 255, 255)


def test_a_moving_picture_is_kept_as_its_first_moment(job: Job, counter: Staff) -> None:
    file = as_file(picture(200, 100), "WEBP", save_all=True, append_images=[Image.new("RGB", (200, 100))])
    photo = photos.keep(job, file, who=counter)
    assert opened(photo, "large").getpixel((20, 50))[0] > 200


def test_files_are_named_by_chance_and_served_by_no_other_name(job: Job, counter: Staff) -> None:
    file = as_file(picture(80, 60), "PNG")
    file.name = "../../etc/passwd.png"
    photo = photos.keep(job, file, who=counter)
    kept = sorted(files.folder().rglob("*.*"))
    assert kept == sorted(files.folder() / photos.file(photo, size).name for size in photos.SIZES)
    assert len(photo.key) >= 20
    assert photos.file(photo, "small").name == f"photos/{photo.key[:2]}/{photo.key}-small.jpg"
    with pytest.raises(ValueError, match=r"^There is no size “../small”; there are large, medium, small\.$"):
        photos.file(photo, "../small")


def test_no_half_written_file_ever_stands_under_its_name(
    job: Job, counter: Staff, monkeypatch: pytest.MonkeyPatch
) -> None:
    def lose_power(descriptor: int) -> None:
        raise OSError("no space left on the disk")

    monkeypatch.setattr(os, "fsync", lose_power)
    assert refused(job, counter, as_file(picture(), "JPEG")) == (
        "The shop's disk did not take the photo: it may be full. All else is kept; tell the owner."
    )
    assert not list(files.folder().rglob("*.part"))


def test_no_file_stays_that_no_row_names(job: Job, counter: Staff, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photos, "_journal", lambda *_: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        photos.keep(job, as_file(picture(), "JPEG"), who=counter)
    assert not Photo.objects.exists()
    assert not list(files.folder().rglob("*.*"))


def test_a_photo_shows_one_damage_of_its_own_job(job: Job, counter: Staff) -> None:
    damage = DamageFactory(job=job)
    photo = photos.keep(job, as_file(picture(80, 60), "PNG"), who=counter, damage=damage)
    assert list(damage.photos.all()) == [photo]
    with pytest.raises(ValueError, match=r"^That damage belongs to another job\.$"):
        photos.keep(job, as_file(picture(80, 60), "PNG"), who=counter, damage=DamageFactory())


def test_a_removed_photo_can_be_restored(job: Job, counter: Staff) -> None:
    photo = photos.keep(job, as_file(picture(80, 60), "PNG"), who=counter)
    photos.remove(photo, counter)
    assert photo.removed_at is not None
    assert photos.file(photo, "small").exists()
    photos.restore(photo, counter)
    assert photo.removed_at is None


def test_what_is_done_with_one_photo_is_done_with_no_other(job: Job, counter: Staff) -> None:
    one, other = (photos.keep(job, as_file(picture(80, 60), "PNG"), who=counter) for _ in range(2))
    photos.remove(one, counter)
    photos.share(one, True, who=counter)
    other.refresh_from_db()
    assert (other.removed_at, other.shared) == (None, False)
    photos.remove(other, counter)
    photos.share(other, True, who=counter)
    photos.restore(one, counter)
    photos.share(one, False, who=counter)
    other.refresh_from_db()
    assert (other.removed_at is None, other.shared) == (False, True)


def test_from_check_in_on_photos_are_in_the_journal(job: Job, counter: Staff) -> None:
    job.stage = Stage.ASSESSED
    job.save()
    damage = DamageFactory(job=job, number=2)
    photo = photos.keep(job, as_file(picture(80, 60), "PNG"), who=counter, damage=damage)
    photos.remove(photo, counter)
    photos.remove(photo, counter)
    photos.restore(photo, counter)
    assert [entry.text for entry in journal.entries(job)] == [
        "A photo of damage 2 was restored.",
        "A photo of damage 2 was removed.",
        "A photo of damage 2 was added.",
    ]


def test_a_photo_is_shown_to_the_customer_and_hidden_again_once_each(job: Job, counter: Staff) -> None:
    Job.objects.filter(pk=job.pk).update(stage=Stage.CHECKED_IN)
    job.refresh_from_db()
    photo = photos.keep(job, as_file(picture(60, 40), "JPEG"), who=counter)
    for shared in (True, True, False):
        assert photos.share(photo, shared, who=counter).shared is shared
    said = [entry.text for entry in journal.entries(job) if entry.verb in ("photo.shared", "photo.unshared")]
    assert said == ["A photo was hidden from the customer.", "A photo was shown to the customer."]


def test_the_journal_says_of_each_deed_with_a_photo_what_it_was_and_whose(job: Job, counter: Staff) -> None:
    Job.objects.filter(pk=job.pk).update(stage=Stage.CHECKED_IN)
    job.refresh_from_db()
    photo = photos.keep(job, as_file(picture(60, 40), "JPEG"), who=counter)
    photos.share(photo, True, who=counter)
    photos.share(photo, False, who=counter)
    photos.remove(photo, counter)
    photos.restore(photo, counter)
    entries = journal.entries(job).order_by("pk")
    assert [entry.verb for entry in entries] == [
        "photo.added",
        "photo.shared",
        "photo.unshared",
        "photo.removed",
        "photo.restored",
    ]
    assert {entry.who for entry in entries} == {counter}
    assert all(entry.changes == {"photo": [None, photo.key]} for entry in entries)


def test_of_a_photo_that_came_with_an_enquiry_nobody_of_the_shop_took_it(job: Job) -> None:
    photo = photos.keep(job, as_file(picture(60, 40), "JPEG"), who=None, caption="x" * 250)
    assert (photo.taken_by, photo.damage, photo.caption) == (None, None, "x" * 200)
    assert photos.keep(job, as_file(picture(60, 40), "JPEG"), who=None).caption == ""
    assert not journal.entries(job).exists()


@pytest.mark.parametrize(
    ("total", "most"), [(1_000_000, 50_000), (10_000_000_000, 500_000_000), (10**13, 500_000_000)]
)
def test_a_photo_leaves_the_last_of_the_disk_to_what_people_write(
    job: Job, counter: Staff, monkeypatch: pytest.MonkeyPatch, total: int, most: int
) -> None:
    for free in (most, most - 1):
        monkeypatch.setattr(
            shutil, "disk_usage", lambda _, free=free: SimpleNamespace(total=total, free=free)
        )
        assert photos.room() == (free == most)
    assert refused(job, counter, as_file(picture(60, 40), "JPEG")).startswith("The shop's disk did not take")


WRONG = {
    Why.NOT_A_PHOTO: NOT_A_PHOTO,
    Why.TOO_MANY_PIXELS: TOO_MANY_PIXELS,
    Why.TOO_THIN: "This picture is too thin to be a photo.",
    Why.TOO_LONG: "This picture is longer than 12000 pixels. Send it smaller.",
    Why.BROKEN: BROKEN,
    Why.TOO_MUCH: "This picture takes too long to read. Send it smaller, as a JPEG.",
}


@pytest.mark.parametrize("why", list(Why))
def test_whatever_is_wrong_with_a_picture_is_said_in_a_sentence(why: Why) -> None:
    assert photos._sentence(why) == WRONG[why]
