"""A letter is said to be as wide as it is, also where it is drawn first in a drawing in metres."""

from shoprepair.papers.render import svg
from tests.papers.test_render import printed
from tests.papers.universal import failures

DRAWN = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 2 1"><text x="0.1" y="0.5" font-size="0.05" '
    'font-family="Atkinson Hyperlegible Next">0123456789</text></svg>'
)


def test_letters_of_a_drawing_in_metres_are_as_wide_as_the_fonts_own():
    pdf = printed(
        '<h1>Widths</h1><img alt="Ten digits" style="width: 90mm" src="paper:x"><p>0123456789</p>',
        {"x": svg(DRAWN)},
    )

    assert [failure for failure in failures(pdf) if failure.startswith("31-016")] == []
