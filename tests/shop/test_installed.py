"""An installed shop has a name short enough, and icons drawn for what each is for."""

import re
from io import BytesIO
from pathlib import Path

import pytest
from django.conf import settings
from PIL import Image

from shoprepair.shop import installed

FOLDER = Path(settings.BASE_DIR) / "static" / "img" / "app"


@pytest.mark.parametrize(
    ("name", "beneath"),
    [
        ("Loft", "Loft"),
        ("Quay Sails", "Quay Sails"),
        ("Northquay Sail Loft", "Northquay"),
        ("Seilmacherwerkstatt", "Seilmacherwe"),
        ("", ""),
    ],
)
def test_a_name_is_short_enough_to_stand_beneath_an_icon(name: str, beneath: str) -> None:
    assert installed.short_name(name) == beneath


@pytest.mark.parametrize("name", installed.ICONS)
def test_every_icon_is_as_large_as_it_says_and_drawn_for_what_it_is(name: str) -> None:
    size, purpose = installed.ICONS[name]
    with Image.open(BytesIO((FOLDER / f"{name}.png").read_bytes())) as file:
        icon = file.convert("RGBA")
    assert icon.size == (size, size)
    corner = icon.getpixel((0, 0))[3]
    assert corner == (255 if purpose == "maskable" else 0)
    if purpose == "monochrome":
        # Only what is drawn and what is left free: the device fills it with a colour of its own.
        seen = [icon.getpixel((x, y)) for x in range(0, size, 8) for y in range(0, size, 8)]
        assert {pixel[:3] for pixel in seen if pixel[3] == 255} == {(0, 0, 0)}


def test_nothing_that_counts_is_outside_the_circle_that_every_device_leaves() -> None:
    """[Maskable icons: a circle of four fifths of the width is always shown.]"""
    drawing = (FOLDER / "maskable.svg").read_text()
    patch = re.search(
        r'scale\(([\d.]+)\).*?<rect x="\d+" y="\d+" width="(\d+)" height="\d+" rx="(\d+)"', drawing
    )
    assert patch
    scale, width, round_ = (float(found) for found in patch.groups())
    furthest = scale * (2**0.5 * (width / 2 - round_) + round_)
    assert furthest <= 0.4 * 512


def test_the_grounds_are_those_of_the_style_sheet() -> None:
    tokens = (Path(settings.BASE_DIR) / "static" / "css" / "tokens.css").read_text()
    plain = dict(re.findall(r"--(cloth|bar): (#\w+);", tokens.partition("@media")[0]))
    assert plain == {"cloth": installed.CLOTH, "bar": installed.BAR}
