import io

from PIL import Image

from shoprepair.jobs import damages, photos
from shoprepair.papers import work_order
from tests.papers.conftest import BASE_URL, CUT
from tests.papers.reading import text


def printed(job):
    return work_order.render(job, paper="A4", base_url=BASE_URL)


def photo(job, who, **more):
    file = io.BytesIO()
    Image.effect_noise((900, 700), 60).convert("RGB").save(file, "JPEG")
    file.seek(0)
    return photos.keep(job, file, who=who, **more)


def test_the_first_photos_stand_on_the_front_with_their_damage(make_job, bench, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    job = make_job(CUT)
    photo(job, bench, damage=damages.live(job)[0], caption="the cut from outside")
    for _ in range(5):
        photo(job, bench)

    pdf = printed(job)

    assert "1 the cut from outside" in text(pdf)
    assert pdf.count(b"/DCTDecode") == work_order.MOST_PHOTOS
    assert len(pdf) < 400_000


def test_a_photo_lost_from_the_disk_does_not_stop_the_printing(make_job, bench, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    job = make_job(CUT)
    photos.file(photo(job, bench, caption="gone"), "small").unlink()

    assert "gone" not in text(printed(job))


def test_a_photo_that_cannot_be_read_now_leaves_a_place_that_says_so(make_job, bench, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    job = make_job(CUT)
    away = photos.file(photo(job, bench, caption="the cut"), "small")
    away.unlink()
    (tmp_path / away.name).mkdir()

    pdf = printed(job)

    assert "This photo cannot be had just now." in text(pdf)
    assert "the cut" in text(pdf)
