"""A picture is judged by its first bytes, and only then decoded."""

import io
import random

import pytest
from PIL import Image

from shoprepair.jobs.decoding.shrinking import Refused, Why, shrunk
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
    assert why(picture(40, 30, "PNG")) == Why.TOO_MANY_PIXELS


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
