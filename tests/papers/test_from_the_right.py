"""A shop whose language is written from the right: its papers are turned as its pages are."""

import pytest

from shoprepair.papers import bag_tag, hand_back, work_order
from shoprepair.shop.models import Shop
from tests.papers.conftest import BASE_URL, CUT, TEAR
from tests.papers.reading import facts, size_mm, words


@pytest.fixture(params=[False, True], ids=["from the left", "from the right"])
def turned(request, shop):
    """Whether the shop writes from the right."""
    if request.param:
        Shop.objects.update(language="ar")
    return request.param


def place(pdf: bytes, word: str) -> tuple[float, float]:
    """Where a word stands on its paper: its left and its right end."""
    first = next(each for each in words(pdf) if each.text == word)
    return first.box[0], first.box[2]


def is_before(pdf: bytes, one: str, other: str, *, turned: bool) -> bool:
    """Whether a reader of that direction comes to the one before the other, which stands beside it."""
    (left, right), (other_left, other_right) = place(pdf, one), place(pdf, other)
    return left >= other_right if turned else right <= other_left


def printed(render, job, paper: str) -> bytes:
    return render(job, paper=paper, base_url=BASE_URL)


@pytest.mark.parametrize("paper", ["100", "A4"])
def test_the_number_of_a_bag_tag_stands_where_its_reader_begins(make_job, turned, paper):
    pdf = printed(bag_tag.render, make_job(CUT, number=412, came_with=["bag"]), paper)

    left, right = place(pdf, "0412")
    leaf = size_mm(pdf)[0] / 25.4 * 72 / (2 if paper == "A4" else 1)
    shift = leaf if turned and paper == "A4" else 0
    assert ((left + right) / 2 - shift > leaf / 2) is turned


def test_the_pairs_of_a_wide_tag_are_turned(make_job, turned):
    pdf = printed(bag_tag.render, make_job(CUT, number=412, came_with=["bag"]), "100")

    assert is_before(pdf, "received", "bag", turned=turned)
    assert all(0 <= each.box[0] <= each.box[2] <= 100 / 25.4 * 72 for each in words(pdf))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_columns_of_a_hand_back_are_turned_and_it_stays_one_page(make_job, turned, paper):
    pdf = printed(hand_back.render, make_job(CUT, TEAR, number=412), paper)

    assert is_before(pdf, "0412", "HM-20418", turned=turned)
    assert is_before(pdf, "keep", "watch", turned=turned)
    assert facts(pdf)["Pages"] == "1"


def test_the_damages_of_a_work_order_are_numbered_where_their_lines_begin(make_job, turned):
    pdf = printed(work_order.render, make_job(CUT, TEAR, number=412), "A4")

    assert is_before(pdf, "finding", "Size", turned=turned)
    assert is_before(pdf, "Size", "Urgency", turned=turned)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("render", [hand_back.render, work_order.render])
def test_the_foot_of_every_page_begins_where_its_reader_does_and_ends_with_the_page(
    make_job, turned, render, paper
):
    pdf = printed(render, make_job(CUT, TEAR, number=412), paper)
    wide, high = (side / 25.4 * 72 for side in size_mm(pdf))
    margin = (12 if paper == "A4" else 15) / 25.4 * 72

    for page in range(1, int(facts(pdf)["Pages"]) + 1):
        foot = [each for each in words(pdf) if each.page == page and each.box[1] > high - 50]
        number = next(each for each in foot if each.text == "0412")
        counted = [each for each in foot if each.text in {"page", str(page), "of"}]
        begins, ends = (wide - margin, margin) if turned else (margin, wide - margin)
        near = number.box[2] if turned else number.box[0]
        far = min(each.box[0] for each in counted) if turned else max(each.box[2] for each in foot)
        assert (near, far) == pytest.approx((begins, ends), abs=2)
