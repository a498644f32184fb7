"""Fields that stand side by side: their boxes are level, whatever stands over or under them."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from shoprepair.shop.models import Staff
from tests.browser.conftest import DESK, TABLET

pytestmark = pytest.mark.usefixtures("patterns")

PAIRS = """() => [...document.querySelectorAll('.form-row')].flatMap(row => {
  const boxes = [...row.querySelectorAll(':scope > .field')]
    .map(field => field.querySelector('input:not([type=checkbox]), select, textarea'))
    .filter(box => box && box.checkVisibility())
    .map(box => [box.name, box.getBoundingClientRect()]);
  return boxes.slice(1).flatMap(([name, place], at) => {
    const [before, other] = boxes[at];
    const onTheNextLine = other.left >= place.left;
    return onTheNextLine ? [] : [[before, name, Math.abs(other.top - place.top)]];
  });
})"""
"""Every two boxes that stand beside each other, and by how much one is higher."""

OWNERS = ["settings/", "set-up/shop/", "set-up/prices/", "cloths/add/", "materials/add/", "work-rules/"]


def _assert_level(page: Page, of: str) -> None:
    pairs = page.evaluate(PAIRS)
    assert pairs, f"{of} has no two boxes side by side"
    assert [pair for pair in pairs if pair[2] > 1] == [], of


@pytest.mark.parametrize("screen", [DESK, TABLET], ids=["desk", "tablet"])
def test_boxes_side_by_side_are_level_though_one_has_a_hint_and_another_is_wrong(
    page: Page,
    people: dict[str, Staff],
    log_in: Callable[[Staff], None],
    complaints: list[str],
    screen: dict[str, int],
) -> None:
    log_in(people["owner"])
    page.set_viewport_size(screen)
    for path in [*(f"/office/{own}" for own in OWNERS), "/check-in/customer/"]:
        page.goto(path)
        _assert_level(page, path)

    page.goto("/office/materials/add/")
    page.get_by_label("Name").fill("Thread")
    page.get_by_label("Price").fill("12")
    page.get_by_label("Waste").fill("much")
    page.get_by_role("button", name="Add the material").click()
    expect(page.locator(".form-row .field:has(.error)")).to_have_count(1)
    _assert_level(page, "a material with a wrong figure")
    assert all("422" in said for said in complaints), complaints
    complaints.clear()
