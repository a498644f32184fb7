"""A picture is judged by its first bytes, and only then decoded."""

import io
import random
import warnings

import pytest
from PIL import Image, ImageFile, JpegImagePlugin

from shoprepair.jobs.decoding import shrinking
from shoprepair.jobs.decoding.bounds import Refused, Why
from shoprepair.jobs.decoding.shrinking import shrunk
from tests.jobs.decoding.pictures import BOUNDS, jpeg_stating, picture, png_stating, webp_stating


def why(content: bytes) -> Why:
    with pytest.raises(Refused) as refused:
        shrunk(content, BOUNDS)
    return refused.value.why


@pytest.mark.parametrize("stating", [png_stating, webp_stating, jpeg_stating])
@pytest.mark.parametrize(
    ("size", "reason"),
    [
        ((13_000, 13_000), Why.TOO_MANY_PIXELS),
        ((12_001, 4_000), Why.TOO_LONG),
        ((4_000, 12_001), Why.TOO_LONG),
        ((12_001, 1), Why.TOO_THIN),
    ],
)
def test_what_the_header_states_is_enough_to_refuse_it(stating, size, reason, monkeypatch):
    monkeypatch.delattr(Image.Image, "thumbnail")
    assert why(stating(*size)) == reason


def test_a_bomb_that_only_warns_is_refused_too(monkeypatch):
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", 1000)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        assert why(picture(40, 30, "PNG")) == Why.TOO_MANY_PIXELS


def test_a_photo_whose_camera_wrote_nonsense_beside_it_is_taken_all_the_same():
    odd = picture(exif=b"Exif\0\0II*\0\x08\0\0\0\x05\0\x12")
    with warnings.catch_warnings(record=True) as warned:
        warnings.simplefilter("always")
        assert shrunk(odd, BOUNDS)
    assert "Corrupt EXIF" in str(warned[0].message)


@pytest.mark.parametrize("form", ["PNG", "WEBP", "JPEG"])
def test_however_it_is_broken_the_file_is_to_blame(form):
    """Bytes are changed by chance, the same each time."""
    chance, whole = random.Random(form), picture(40, 30, form)
    for _ in range(60):
        broken = bytearray(whole)
        for _ in range(chance.randint(1, 4)):
            broken[chance.randrange(len(broken))] = chance.randrange(256)
        try:
            made = shrunk(bytes(broken), BOUNDS)
        except Refused:
            continue
        assert [max(jpeg.width, jpeg.height) for jpeg in made] <= [1600, 1000, 400]


@pytest.mark.parametrize("form", ["PNG", "WEBP"])
def test_what_is_clear_in_a_picture_is_white_in_the_photo(form):
    """A WebP that is partly clear has a header of its own."""
    clear = picture(64, 48, form, "RGBA")
    for made in shrunk(clear, BOUNDS):
        photo = Image.open(io.BytesIO(made.content))
        assert (photo.mode, photo.getpixel((1, 1))) == ("RGB", (255, 255, 255))


@pytest.mark.parametrize("form", ["PNG", "WEBP"])
def test_what_is_not_clear_in_a_picture_keeps_its_colour(form):
    half = Image.new("RGBA", (64, 48), (0, 0, 0, 0))
    half.paste((200, 0, 0, 255), (0, 0, 32, 48))
    file = io.BytesIO()
    half.save(file, form, lossless=True)
    photo = Image.open(io.BytesIO(shrunk(file.getvalue(), BOUNDS)[0].content))
    assert photo.getpixel((8, 24)) == pytest.approx((200, 0, 0), abs=4)
    assert photo.getpixel((56, 24)) == pytest.approx((255, 255, 255), abs=4)


def test_a_picture_of_sixteen_bits_keeps_its_greys():
    grey = io.BytesIO()
    Image.new("I;16", (64, 48), 128 * 256).save(grey, "PNG")
    photo = Image.open(io.BytesIO(shrunk(grey.getvalue(), BOUNDS)[0].content))
    assert abs(photo.convert("L").getpixel((5, 5)) - 128) < 4


def test_a_picture_that_the_memory_does_not_hold_is_too_much(monkeypatch):
    def full(*_args: object, **_more: object) -> None:
        raise MemoryError

    monkeypatch.setattr(Image.Image, "thumbnail", full)
    assert why(picture()) == Why.TOO_MUCH


@pytest.mark.parametrize("form", ["GIF", "BMP", "TIFF", "ICO", "PPM"])
def test_what_is_no_photo_is_handed_to_no_other_decoder(form):
    assert why(picture(form=form)) == Why.NOT_A_PHOTO


@pytest.mark.parametrize(
    ("kind", "options"),
    [(b"VP8 ", {}), (b"VP8L", {"lossless": True}), (b"VP8X", {"mode": "RGBA"})],
)
@pytest.mark.parametrize("size", [(700, 300), (300, 700), (1, 1025)])
def test_every_header_of_a_webp_is_read_for_its_size(kind, options, size):
    content = picture(*size, "WEBP", **options)
    assert content[12:16] == kind
    assert shrinking._webp_size(content) == size


def test_a_webp_is_as_large_as_its_header_can_state_it():
    assert shrinking._webp_size(webp_stating(16384, 16383)) == (16384, 16383)
    canvas = b"RIFF....WEBPVP8X" + b"." * 8 + (69_999).to_bytes(3, "little") + (65_792).to_bytes(3, "little")
    assert shrinking._webp_size(canvas + b"......") == (70_000, 65_793)
    # The two bits above a side say how much larger it is to be shown, not how large it is.
    scaled = bytearray(picture(700, 300, "WEBP"))
    scaled[27] |= 0xC0
    scaled[29] |= 0x40
    assert shrinking._webp_size(bytes(scaled)) == (700, 300)


@pytest.mark.parametrize(
    "content", [picture(), picture(form="PNG"), b"RIFF....WAVEVP8 ", b"RIFF....WEBPALPH", b""]
)
def test_of_what_is_no_webp_no_size_is_read_beforehand(content):
    assert shrinking._webp_size(content + b"." * 30) is None


@pytest.mark.parametrize("mode", ["L", "CMYK", "1", "P", "YCbCr"])
def test_whatever_its_colours_a_photo_is_red_green_and_blue(mode):
    made = shrunk(picture(form="JPEG" if mode in {"CMYK", "YCbCr"} else "PNG", mode=mode), BOUNDS)
    assert {Image.open(io.BytesIO(each.content)).mode for each in made} == {"RGB"}


@pytest.mark.parametrize("mode", ["I", "I;16", "F"])
def test_greys_of_more_than_a_byte_become_greys_of_one(mode):
    flat = shrinking._flat(Image.new(mode, (8, 6), 32_768))
    assert (flat.mode, flat.getpixel((3, 3))) == ("RGB", (128, 128, 128))


@pytest.mark.parametrize(("width", "height"), [(4000, 3000), (3000, 4000), (3600, 3600)])
def test_a_large_jpeg_is_decoded_at_half_its_size(width, height, monkeypatch):
    """It takes a quarter of the memory, and is still larger than what is made of it."""
    drafted, draft = [], JpegImagePlugin.JpegImageFile.draft

    def watched(image, *asked):
        found = draft(image, *asked)
        drafted.append(image.size)
        return found

    monkeypatch.setattr(JpegImagePlugin.JpegImageFile, "draft", watched)
    made = shrunk(picture(width, height), BOUNDS)
    assert [max(each.width, each.height) for each in made] == [1600, 1000, 400]
    assert [each.width * height for each in made] == [each.height * width for each in made]
    assert drafted == [(width // 2, height // 2)]


@pytest.mark.parametrize("bears_with", [True, False])
def test_a_photo_that_was_cut_off_is_broken_whatever_papers_bear_with(bears_with, monkeypatch):
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", bears_with)
    whole = picture(640, 480)
    assert why(whole[: len(whole) // 2]) == Why.BROKEN
    assert shrunk(whole, BOUNDS)
    assert ImageFile.LOAD_TRUNCATED_IMAGES is bears_with
