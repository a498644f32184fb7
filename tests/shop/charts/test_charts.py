"""Charts: readable without colour, named for whoever cannot see, and with a table that says the same."""

import re
from itertools import pairwise
from math import inf
from xml.etree import ElementTree

import pytest
from django.utils import translation
from hypothesis import given, settings
from hypothesis import strategies as st

from shoprepair.shop.charts import (
    Bar,
    Chart,
    Dot,
    Stair,
    Step,
    bars,
    cell,
    dots,
    percent,
    plain,
    steps,
    table,
)
from shoprepair.shop.charts.scale import ROUND, ticks
from shoprepair.shop.charts.sheet import FILLS, width_of

SVG = "{http://www.w3.org/2000/svg}"
AMOUNTS = [Bar("W46", [1200.0, 900.5]), Bar("W47", [0, 40])]


def money() -> Chart:
    return bars(AMOUNTS, ["Quoted", "Paid"], unit="€", title="Money & <time>", unique="m", of="week")


def lives(*shown: Step, ends: tuple[float, ...] = (), watched: tuple[float, ...] = (5.0, 3.0)) -> Chart:
    return steps(Stair(shown, 5.0, ends, watched), title="Lives", unique="l", of="years", band="95 % band")


def rows() -> Chart:
    return dots(
        [
            Dot("Casing patch", 0.01, 0.002, 0.03, "3 of 300"),
            Dot("Window", 0.2, 0.0, 9.0, "1 of 5", small=True),
        ],
        title="Rates",
        unique="r",
        of="claims",
    )


def drawn(chart: Chart) -> ElementTree.Element:
    return ElementTree.fromstring(chart.svg)


@pytest.mark.parametrize(
    "chart", [money(), lives(Step(1, 0.9, 0.8, 0.95)), rows()], ids=["bars", "steps", "dots"]
)
def test_every_chart_is_one_named_image_without_inline_style(chart):
    svg = drawn(chart)

    assert svg.get("role") == "img"
    title = svg.find(f"{SVG}title")
    assert title is not None
    assert (title.text, title.get("id")) == (chart.title, svg.get("aria-labelledby"))
    assert not re.search(r"\sstyle=|<style|\son\w+=", chart.svg)
    ids = [found.get("id") for found in svg.iter() if found.get("id")]
    assert len(ids) == len(set(ids))
    assert all(found.startswith(chart.unique) for found in ids)


def hatches(chart: Chart) -> list[str | None]:
    """The hatch of each fill that comes along with a chart; the solid one has none."""
    return [path.get("d") for path in drawn(chart).iter(f"{SVG}path") if "c-hatch" in path.get("class", "")]


def test_series_are_told_apart_by_their_hatch_and_the_legend_shows_it():
    fills = [rect.get("fill") for rect in drawn(money()).iter(f"{SVG}rect") if rect.get("class") == "c-bar"]

    assert set(fills) == {"url(#m-f0)", "url(#m-f1)"}
    every = bars([Bar("W46", [1] * FILLS)], list("abcde"), title="All", unique="a", of="week")
    assert len(set(hatches(every))) == FILLS - 1


def test_no_fill_comes_along_that_nothing_is_drawn_with():
    assert len(hatches(money())) == 1
    assert "<pattern" not in rows().svg


def test_greys_alone_carry_every_chart():
    for chart in (money(), lives(Step(1, 0.9, 0.8, 0.95)), rows()):
        assert set(re.findall(r'(?:fill|stroke)="(#[^"]+)"', chart.svg)) <= {"#15252b", "#8a8f8c", "#fffdf8"}


def test_the_table_reads_well_and_its_csv_can_be_reckoned_with():
    found = money().table

    assert found.head == ("week", "Quoted", "Paid")
    assert found.rows[0] == ("W46", "1,200\N{NO-BREAK SPACE}€", "900.5\N{NO-BREAK SPACE}€")
    assert found.csv().splitlines() == ["week,Quoted,Paid", "W46,1200,900.5", "W47,0,40"]
    assert found.tabbed().splitlines()[1] == "W46\t1200\t900.5"


@pytest.mark.parametrize("name", ["=1+1", "+HYPERLINK(1)", "-2+3", "@SUM(A1)", "\t=1", "\r=1"])
def test_a_name_that_a_spreadsheet_would_reckon_stays_a_name(name):
    assert f"'{name}" in table(["name"], [[name]]).csv()


@pytest.mark.parametrize(
    ("language", "said"), [("en", "35.8\N{NO-BREAK SPACE}%"), ("de", "35,8\N{NO-BREAK SPACE}%")]
)
def test_the_point_is_that_of_the_readers_language(language, said):
    with translation.override(language):
        assert percent(0.358) == said


@pytest.mark.parametrize(
    ("language", "said"), [("en", "12,500.5"), ("de", "12.500,5"), ("es", "12\N{NO-BREAK SPACE}500,5")]
)
def test_thousands_are_parted_as_in_the_readers_language(language, said):
    with translation.override(language):
        assert plain(12500.5) == said


def test_a_negative_number_stays_a_number():
    assert table(["x"], [[cell(-2.5, plain)]]).csv().splitlines() == ["x", "-2.5"]


def test_a_limit_beyond_the_axis_ends_in_an_arrow_and_none_is_said_in_words():
    chart = dots([Dot("New", 0, 0, inf, "0 of 1")], title="t", unique="u", of="rate", name="operation")

    assert chart.table.rows[0][3] == "no limit"
    assert chart.table.exact[0][3] == ""
    whiskers = [p.get("d", "") for p in drawn(chart).iter(f"{SVG}path") if p.get("class") == "c-whisker"]
    assert [d.endswith("m-8-6l8 6-8 6") for d in whiskers] == [True]
    assert "nan" not in chart.svg
    assert "inf" not in chart.svg


def test_what_rests_on_little_is_drawn_hollow():
    dots_drawn = [circle.get("class") for circle in drawn(rows()).iter(f"{SVG}circle")]

    assert dots_drawn == ["c-dot", "c-dot is-small"]


def test_the_numbers_at_risk_stand_under_the_ticks():
    words = [text.text for text in drawn(lives(watched=(5.0, 5.0, 0.5))).iter(f"{SVG}text")]

    assert words[words.index("at risk") + 1 :] == ["3", "2", "2", "2", "2", "2"]


def test_thousands_of_ends_do_not_thicken_the_line():
    many = lives(ends=tuple(i / 1000 for i in range(5000)))
    few = lives(ends=(1.0, 2.0))

    assert "c-end" in few.svg
    assert "c-end" not in many.svg
    assert len(many.svg) < 12_000


def test_bars_below_nought_hang_from_the_line():
    chart = bars([Bar("W1", [50.0]), Bar("W2", [-20.0])], ["Paid"], title="t", unique="u")
    high, low = (r for r in drawn(chart).iter(f"{SVG}rect") if r.get("class") == "c-bar")

    assert float(low.get("y", 0)) == pytest.approx(
        float(high.get("y", 0)) + float(high.get("height", 0)), abs=0.2
    )


def test_nothing_to_show_is_still_a_chart():
    for chart in (
        bars([], ["Paid"], title="t", unique="u"),
        dots([], title="t", unique="u", of="x"),
        lives(),
    ):
        assert drawn(chart).get("viewBox")
        assert chart.table.rows == ()


@pytest.mark.parametrize(
    ("most", "marks"),
    [(1, (0, 1)), (3, (0, 1, 2, 3)), (11, (0, 5, 10, 15)), (51, (0, 20, 40, 60))],
)
def test_what_is_counted_has_no_tick_at_a_part_of_one(most, marks):
    assert ticks(0, most, whole=True) == marks


@settings(max_examples=60)
@given(st.floats(-1e9, 1e9), st.floats(0, 1e9))
def test_ticks_are_round_and_hold_what_they_are_for(low, spread):
    marks = ticks(low, low + spread)
    step, slack = marks[1] - marks[0], 1e-6 * (abs(low) + spread) + 1e-9

    assert marks[0] <= low + slack
    assert marks[-1] >= low + spread - slack
    assert len(marks) <= 8
    mantissa = float(f"{step:e}".split("e")[0])
    assert any(abs(mantissa - sound) < 1e-3 for sound in ROUND)


def test_a_long_name_takes_two_lines_and_keeps_what_tells_it_from_its_like():
    names = ["Sew a patch on the canopy of a kite", "Sew a patch on the casing of a strut"]
    chart = dots([Dot(name, 1, 0, 2) for name in names], title="t", unique="u", of="rate")
    words = [text.text for text in drawn(chart).iter(f"{SVG}text")]

    assert [w for w in words if w and w.startswith("Sew")] == [name[:25] for name in names]
    assert {"of a kite", "of a strut"} <= set(words)
    assert [row[0] for row in chart.table.rows] == names


@pytest.mark.parametrize(
    "chart", [money(), lives(Step(1, 0.9, 0.8, 0.95)), rows()], ids=["bars", "steps", "dots"]
)
def test_on_a_phone_every_chart_is_drawn_as_narrow_as_it_with_letters_as_large(chart):
    wide, narrow = drawn(chart), ElementTree.fromstring(chart.narrow)

    assert (wide.get("viewBox", "").split()[2], narrow.get("viewBox", "").split()[2]) == ("640", "320")
    assert narrow.get("font-size") == wide.get("font-size")
    assert "is-narrow" in narrow.get("class", "")
    ids = [found.get("id") for svg in (wide, narrow) for found in svg.iter() if found.get("id")]
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("values", [3, 8, 14])
def test_on_a_phone_words_under_bars_neither_touch_nor_leave_the_sheet(values):
    weeks = [Bar(f"{n + 10} Nov", [n]) for n in range(values)]
    svg = ElementTree.fromstring(bars(weeks, ["Asked"], title="t", unique="u").narrow)
    labels = [t for t in svg.iter(f"{SVG}text") if "Nov" in (t.text or "")]
    middles, half = [float(t.get("x", 0)) for t in labels], width_of("24 Nov") / 2

    assert len(labels) >= 2
    assert middles[0] - half >= 0
    assert middles[-1] + half <= 320.1
    assert all(b - a >= 2 * half for a, b in pairwise(middles))


def test_on_a_phone_each_name_stands_closest_to_its_own_mark():
    names = ["Sew a small patch on the casing of a strut", "Window"]
    svg = ElementTree.fromstring(
        dots([Dot(name, 1, 0, 2, "1 of 5") for name in names], title="t", unique="u", of="rate").narrow
    )
    marks = [float(circle.get("cy", 0)) for circle in svg.iter(f"{SVG}circle")]
    counts = [float(t.get("y", 0)) for t in svg.iter(f"{SVG}text") if t.text == "1 of 5"]

    for said, own in zip(counts, marks, strict=True):
        assert min(marks, key=lambda mark: abs(mark - said)) == own
        assert own - said < 20
