"""The owner at the desk: every page of the office in a real browser."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from shoprepair.gear.models import Cloth, Pattern
from shoprepair.shop.models import Staff
from shoprepair.shop.settings import cases, current
from tests.browser.conftest import PHONE, TABLET, axe_clean
from tests.factories import InflatableFactory, JobFactory

pytestmark = pytest.mark.usefixtures("patterns")


@pytest.fixture
def owner(people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Staff:
    """The owner, logged in."""
    log_in(people["owner"])
    return people["owner"]


def pages(people: dict[str, Staff]) -> list[str]:
    """Every page of the office."""
    wing, kite = Pattern.objects.get(name="Holm 5.0 wing"), Pattern.objects.get(name="Skarv 9 kite")
    cloth = Cloth.objects.filter(use="casing").first()
    paths = ["", "settings/", "load-cases/", "people/", "people/add/", "patterns/", "cloths/", "cloths/add/"]
    paths += [f"people/{people['counter'].pk}/", f"people/{people['owner'].pk}/", f"cloths/{cloth.pk}/"]
    paths += [f"patterns/{wing.pk}/", f"patterns/{kite.pk}/", f"patterns/{kite.pk}/edit/"]
    return [f"/office/{path}" for path in paths]


def test_the_owner_changes_bar_to_psi_and_a_pattern_reads_in_psi(page: Page, owner: Staff) -> None:
    page.goto("/office/patterns/")
    page.get_by_role("link", name="Holm 5.0 wing").click()
    expect(page.get_by_text("0.5 bar", exact=True)).to_be_visible()

    page.get_by_role("link", name="Office", exact=True).first.click()
    page.get_by_role("link", name="Shop settings").click()
    page.get_by_role("radio", name="psi").check(force=True)
    page.get_by_role("button", name="Save settings").click()
    expect(page.get_by_role("status")).to_have_text("Saved: Pressure.")
    expect(page.locator(".office-changes")).to_contain_text(re.compile(r"Pressure\s+bar\s+→.*psi"))

    page.goto("/office/patterns/")
    page.get_by_role("link", name="Holm 5.0 wing").click()
    expect(page.get_by_text("7.3 psi", exact=True)).to_be_visible()


@pytest.mark.parametrize(
    ("screen", "theme"), [pytest.param(TABLET, "dark", marks=pytest.mark.soak), (PHONE, "light")]
)
def test_no_page_of_the_office_shuts_anybody_out(
    page: Page, owner: Staff, people: dict[str, Staff], screen: dict[str, int], theme: str
) -> None:
    JobFactory(number=1, inflatable=InflatableFactory(pattern=Pattern.objects.get(name="Holm 5.0 wing")))
    page.set_viewport_size(screen)
    page.emulate_media(color_scheme=theme)
    for path in pages(people):
        page.goto(path)
        axe_clean(page)
        wider = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert wider <= 0, f"{path} is {wider} px wider than the screen"


SMALL = """() => [...document.querySelectorAll("main :is(button, input, select, summary)")]
    .filter(e => e.type != "hidden" && e.offsetParent && !e.closest(".visually-hidden, .office-box"))
    .map(e => [e.name || e.textContent.trim(), e.getBoundingClientRect().height])
    .filter(([, height]) => height > 1 && height < 48)"""


def test_all_there_is_to_press_suits_a_finger(page: Page, owner: Staff, people: dict[str, Staff]) -> None:
    page.set_viewport_size(PHONE)
    for path in pages(people):
        page.goto(path)
        assert page.evaluate(SMALL) == [], path


def test_a_refused_form_says_so_and_stays_as_typed(page: Page, owner: Staff, complaints: list[str]) -> None:
    page.goto("/office/settings/")
    page.get_by_label("Currency", exact=True).fill("EU")
    page.get_by_label("Phone").fill("+47 555 01 234")
    page.get_by_role("button", name="Save settings").click()

    problem = page.get_by_role("alert")
    expect(problem).to_contain_text("Nothing is saved yet.")
    axe_clean(page)
    problem.get_by_role("link", name="Currency").click()
    expect(page.get_by_label("Currency", exact=True)).to_be_focused()
    expect(page.get_by_label("Phone")).to_have_value("+47 555 01 234")
    assert all("422" in complaint for complaint in complaints)
    complaints.clear()


def test_return_in_a_figure_saves_it_and_takes_no_other_back(page: Page, owner: Staff) -> None:
    page.goto("/office/load-cases/")
    page.get_by_label("Gust factor of a held wing").fill("1.7")
    page.get_by_label("Gust factor of a held wing").press("Enter")
    expect(page.get_by_role("status")).to_contain_text("Gust factor of a held wing: 1.7")
    page.get_by_label("Wind over a held wing").fill("14")
    page.get_by_label("Wind over a held wing").press("Enter")
    expect(page.get_by_role("status")).to_contain_text("Wind over a held wing: 14 m/s")
    assert (cases().held_gust, cases().held_wind_m_per_s) == (1.7, 14)

    page.get_by_role("button", name=re.compile("Back to 1.5")).click()
    expect(page.get_by_role("status")).to_contain_text("Gust factor of a held wing: 1.5")
    assert (cases().held_gust, cases().held_wind_m_per_s) == (1.5, 14)


def test_the_office_works_without_scripts(
    browser: Browser, context: BrowserContext, owner: Staff, base_url: str
) -> None:
    logged_in = context.storage_state()
    plain = browser.new_context(java_script_enabled=False, base_url=base_url, storage_state=logged_in)
    page = plain.new_page()
    page.goto("/office/settings/")
    page.get_by_label("Name of the shop").fill("Northquay Loft")
    page.get_by_role("checkbox", name="Monday").check(force=True)
    page.get_by_label("Monday from").fill("09:00")
    page.get_by_label("Monday to").fill("17:30")
    page.get_by_role("button", name="Save settings").click()
    expect(page.get_by_role("status")).to_contain_text("Saved: Name of the shop, Working hours.")
    plain.close()

    assert current().working_hours == {"0": ["09:00", "17:30"]}


def test_a_new_shop_is_opened_from_the_log_in(page: Page) -> None:
    page.goto("/")
    expect(page.get_by_role("heading", name="Open the shop")).to_be_visible()
    axe_clean(page)
    page.get_by_label("Name of the shop").fill("Northquay Loft")
    page.get_by_label("Your name").fill("Ingrid Falk")
    page.get_by_label("Log-in name").fill("ingrid")
    page.get_by_label("Password", exact=True).fill("wet sand on the quay")
    page.get_by_label("The same password again").fill("wet sand on the quay")
    page.get_by_role("button", name="Open the shop").click()

    expect(page.get_by_role("heading", name="Where is the shop?")).to_be_visible()
    expect(page.get_by_role("link", name="Northquay Loft")).to_be_visible()
