import pytest

from shoprepair.papers.templatetags.papers import direction, each_run, runs, to_fill_in, trimmed, unbroken


@pytest.mark.parametrize(
    ("text", "way"),
    [
        ("Ida", "ltr"),
        ("فاطمة", "rtl"),
        ("נועה", "rtl"),
        ("3 شارع", "rtl"),
        ("(Ida) פ", "ltr"),
        ("123", "ltr"),
        ("", "ltr"),
    ],
)
def test_a_text_runs_the_way_of_its_first_letter(text, way):
    assert direction(text) == way


@pytest.mark.parametrize(
    ("said", "kept"),
    [
        ("a cut of 35 mm here", "a cut of 35\N{NO-BREAK SPACE}mm here"),
        ("1 3/8 in long", "1\N{NO-BREAK SPACE}3/8\N{NO-BREAK SPACE}in long"),
        ("6.00 kN/m", "6.00\N{NO-BREAK SPACE}kN/m"),
        ("20 mmap", "20 mmap"),
        ("2 more", "2 more"),
    ],
)
def test_no_line_ends_between_a_figure_and_its_unit(said, kept):
    assert unbroken(said) == kept


def test_the_line_for_the_pencil_stays_beside_its_name():
    said = to_fill_in("plies inside")

    assert said.startswith("plies\N{NO-BREAK SPACE}inside\N{NO-BREAK SPACE}_")
    assert " " not in said


def test_a_run_of_numbers_stays_on_one_line():
    assert runs([1, 2, 3, 5]) == '<span class="run">1–3</span>, <span class="run">5</span>'


def test_what_a_full_stop_follows_ends_with_its_last_letter():
    assert trimmed("\n Bo Larsgard \n") == "Bo Larsgard"


def test_tags_that_follow_each_other_stand_in_one():
    assert each_run([3, 1, 2, 7]) == ["1–3", "7"]
    assert each_run([4, 5]) == ["4", "5"]
