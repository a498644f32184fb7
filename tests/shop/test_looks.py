"""How the screens look: as the device, by day, at night; each is read at arm's length in its own light."""

import re
from itertools import pairwise
from pathlib import Path

import pytest
from django.conf import settings
from django.test import RequestFactory

from shoprepair.shop import looks

STYLES = Path(settings.BASE_DIR) / "static" / "css"
_BLOCK = re.compile(r"^( *)(:root[^{]*) \{\n(.*?)^\1\}", re.DOTALL | re.MULTILINE)
_NAMED = re.compile(r"--([a-z0-9-]+): ([^;]+);")

GROUNDS = ("cloth", "sheet", "sheet-sunk")
WORDS = ("ink", "ink-soft", "danger", "warn", "care", "calm", "go", "go-deep")
TEXTS = (
    *((word, ground) for word in WORDS for ground in GROUNDS),
    *(("ink", f"{tone}-ground") for tone in ("danger", "warn", "go")),
    *(("danger", "danger-ground"), ("warn", "warn-ground"), ("go", "go-ground"), ("go-deep", "go-ground")),
    *(("on-act", "act"), ("on-dark", "go-deep"), ("on-dark", "danger"), ("sheet", "ink")),
    *(("on-bar", "bar"), ("on-bar", "bar-soft"), ("on-bar-soft", "bar-soft"), ("bar", "on-bar")),
)
MARKS = (
    *((mark, ground) for mark in ("line-strong", "thread", "focus", "go") for ground in ("cloth", "sheet")),
    *(("bar-line", "bar"), ("bar-mark", "bar")),
)


def sheets(name: str) -> dict[str, list[dict[str, str]]]:
    """The looks of a style sheet, each as often as it stands there."""
    found: dict[str, list[dict[str, str]]] = {"plain": [], "night": [], "day": []}
    for part in re.split(r"^(?=@media|:root)", (STYLES / name).read_text(), flags=re.MULTILINE):
        is_night = "prefers-color-scheme: dark" in part.partition("{")[0] or 'data-look="night"' in part
        is_day = "prefers-contrast" in part.partition("{")[0] or 'data-look="day"' in part
        for _indent, _selector, said in _BLOCK.findall(part):
            found["night" if is_night else "day" if is_day else "plain"].append(dict(_NAMED.findall(said)))
    return found


def tokens(look: str) -> dict[str, str]:
    """Every colour and measure in this look."""
    said = sheets("tokens.css")
    return said["plain"][0] | (said[look][0] if look != "plain" else {})


def contrast(one: str, other: str) -> float:
    """[WCAG 2.2, relative luminance and contrast ratio]."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    digits = colour.removeprefix("#")
    digits = "".join(2 * digit for digit in digits) if len(digits) == 3 else digits
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_contrast_is_reckoned_as_published() -> None:
    assert contrast("#000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#fff") == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize("look", ["plain", "night", "day"])
def test_every_word_is_read_at_seven_to_one(look: str) -> None:
    known = tokens(look)
    faint = {pair: round(contrast(*(known[name] for name in pair)), 2) for pair in TEXTS}
    assert {pair: ratio for pair, ratio in faint.items() if ratio < 7} == {}


@pytest.mark.parametrize("look", ["plain", "night", "day"])
def test_every_mark_and_edge_is_seen_at_three_to_one(look: str) -> None:
    known = tokens(look)
    faint = {pair: round(contrast(*(known[name] for name in pair)), 2) for pair in MARKS}
    assert {pair: ratio for pair, ratio in faint.items() if ratio < 3} == {}


def test_by_day_the_ground_is_pure_lines_are_heavier_and_even_the_finest_is_seen() -> None:
    day, plain = tokens("day"), tokens("plain")
    assert {day[name] for name in ("cloth", "ripstop", "sheet")} == {"#fff"}
    assert float(day["heavier"]) > float(plain["heavier"])
    assert int(day["hair"].removesuffix("px")) > int(plain["hair"].removesuffix("px"))
    assert contrast(day["line"], day["sheet"]) >= 3
    weakest = {
        look: min(contrast(tokens(look)[a], tokens(look)[b]) for a, b in TEXTS) for look in ("plain", "day")
    }
    assert weakest["day"] > weakest["plain"]


@pytest.mark.parametrize("sheet", ["tokens.css", "diagram.css"])
def test_a_look_that_is_chosen_is_the_one_that_the_device_would_take(sheet: str) -> None:
    said = sheets(sheet)
    for look in ("night", "day"):
        assert len(said[look]) == 2
        assert all(one == other for one, other in pairwise(said[look]))


def test_no_page_says_a_colour_but_by_its_name() -> None:
    by_themselves = {"tokens", "diagram", "self-check", "stock"}
    codes = {"asked", "contact", "log-in"}
    loud = [
        f"{path.stem}: {found}"
        for path in STYLES.glob("*.css")
        if path.stem not in by_themselves
        for found in re.findall(r"#[0-9a-f]{3,8}\b", path.read_text())
        if not (path.stem in codes and found == "#fff")
    ]
    assert loud == []


def test_one_tap_after_the_other_comes_back_to_where_it_began() -> None:
    seen = [looks.BY_ITSELF]
    for _tap in range(3):
        seen.append(looks.NEXT[seen[-1]])
    assert seen == ["", "day", "night", ""]


def test_a_cookie_that_somebody_made_up_is_no_look() -> None:
    request = RequestFactory().get("/")
    assert looks.chosen(request) == ""
    request.COOKIES["look"] = '"><b>'
    assert looks.chosen(request) == ""


def test_the_colour_around_the_page_is_that_of_the_bar() -> None:
    told = (Path(settings.BASE_DIR) / "templates" / "parts" / "app.html").read_text()
    plain, night, day = (tokens(look)["bar"] for look in ("plain", "night", "day"))
    assert re.findall(r'content="(#[0-9a-f]+)"', told) == [day, night, plain, night]
