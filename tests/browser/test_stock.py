"""The shelf and a step's materials in a real browser: at the bench's tablet, on a phone and at a desk."""

from collections.abc import Callable
from decimal import Decimal

import pytest
from django.urls import reverse
from playwright.sync_api import BrowserContext, Page, expect

from shoprepair.shop.models import Staff
from shoprepair.work import stock
from shoprepair.work.models import Lot, Step, Use
from tests.browser.conftest import PHONE, TABLET, axe_clean
from tests.browser.test_office import SMALL
from tests.factories import CustomerFactory, JobFactory
from tests.work.stocking import a_lot, a_material, a_repair, a_step, agreed_for

LONG = "Double-sided-polyester-adhesive-cloth-without-any-space-in-its-name, then words"


@pytest.fixture
def tomek(people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Staff:
    log_in(people["bench"])
    return people["bench"]


@pytest.fixture
def step(tomek: Staff) -> Step:
    """A step that takes two materials, of a job whose customer has a long name."""
    cloth, wipe = a_material(LONG), a_material("Wipe", "piece")
    a_lot(cloth, "KV-2204-" + "x" * 50, "2.5", expires_in=20)
    a_lot(cloth, "KV-2309", "30")
    a_lot(cloth, "old", "1", expires_in=-9)
    job = JobFactory(customer=CustomerFactory(name="Annelore-Wilhelmina-van-der-Zandvoort-Oosterschelde"))
    repair = a_repair(job, cloth=(cloth, "0.35"), wipe=(wipe, "2"))
    stock.change_rule(
        cloth,
        low_at=Decimal(40),
        order_up_to=Decimal(60),
        supplier="Vellum & Reef",
        shelf_months=12,
        who=tomek,
    )
    step = a_step(repair)
    stock.use(Lot.objects.get(code="KV-2309"), Decimal("0.1"), job=job, step=step, who=tomek)
    return step


def materials_of(step: Step) -> str:
    return reverse("step-materials", args=[step.job.number, step.pk])


def fits(page: Page) -> None:
    """Assert that nobody is shut out, nothing runs off the screen, and fingers hit what they press."""
    axe_clean(page)
    wider = page.evaluate("document.documentElement.scrollWidth - innerWidth")
    assert wider <= 0, f"{page.url} is {wider} px wider than the screen"
    assert page.evaluate(SMALL) == [], page.url


@pytest.mark.parametrize(("screen", "theme"), [(TABLET, "light"), (PHONE, "dark")])
def test_no_page_of_the_shelf_shuts_anybody_out(
    page: Page, step: Step, screen: dict[str, int], theme: str
) -> None:
    page.set_viewport_size(screen)
    page.emulate_media(color_scheme=theme)
    lot = Lot.objects.get(code="KV-2309")
    addresses = [reverse("stock"), reverse("stock-order"), reverse("lot", args=[lot.pk])]
    for address in [*addresses, reverse("material-stock", args=[lot.material_id]), materials_of(step)]:
        page.goto(address)
        page.evaluate("document.querySelectorAll('main details').forEach(each => each.open = true)")
        fits(page)


@pytest.mark.parametrize("screen", [TABLET, PHONE])
def test_an_empty_shelf_says_what_to_do(page: Page, tomek: Staff, screen: dict[str, int]) -> None:
    page.set_viewport_size(screen)
    for address in (reverse("stock"), reverse("stock-order")):
        page.goto(address)
        fits(page)
    expect(page.get_by_role("heading", name="Nothing to order")).to_be_visible()


def test_a_steps_material_is_taken_with_one_tap_and_put_back(page: Page, step: Step) -> None:
    page.goto(materials_of(step))
    page.get_by_role("button", name="Take 0.25 m²").click()
    expect(page.get_by_role("status")).to_have_text("Taken.")
    expect(page.get_by_text("all taken")).to_be_visible()
    assert Use.objects.last().quantity == Decimal("0.250")

    page.get_by_role("button", name="Put back 0.25 m²").click()
    expect(page.get_by_role("status")).to_have_text("Put back.")
    expect(page.get_by_role("button", name="Take 0.25 m²")).to_be_visible()
    assert Lot.objects.get(code__startswith="KV-2204").left == Decimal("2.500")


def test_too_much_is_refused_beside_what_was_typed(page: Page, step: Step, complaints: list[str]) -> None:
    page.goto(materials_of(step))
    page.get_by_text("Another lot or quantity").first.click()
    page.get_by_label("How much").first.fill("31,5")
    page.get_by_label("From lot").first.select_option(label="KV-2309: 29.9 m²")
    page.get_by_role("button", name="Take it").first.click()
    expect(page.get_by_role("alert").filter(has_text="Lot KV-2309")).to_have_text(
        "Lot KV-2309 has 29.9 m² left, not 31.5 m²."
    )
    expect(page.get_by_label("How much").first).to_have_value("31,5")
    fits(page)
    assert all("422" in complaint for complaint in complaints)
    complaints.clear()


def test_the_shelf_narrows_while_it_is_typed_and_finds_a_lot(page: Page, step: Step) -> None:
    page.goto(reverse("stock"))
    page.get_by_label("A material, a supplier or the mark of a lot").press_sequentially("kv-23")
    expect(page.get_by_role("status")).to_have_text("0 of 2 materials, 1 lot")
    page.get_by_role("link", name="KV-2309").click()
    expect(page.get_by_role("heading", name="Which repairs have it in them")).to_be_visible()
    page.get_by_role("link", name=f"Job {step.job}").click()
    expect(page).to_have_url(f"{page.url.split('/jobs')[0]}{step.job.get_absolute_url()}")


def test_a_delivery_comes_in_and_is_no_longer_to_be_ordered(page: Page, tomek: Staff) -> None:
    hose = a_material("Hose", "m")
    agreed_for(a_repair(hose=(hose, "1.2")))
    page.goto(reverse("stock"))
    expect(page.get_by_text("1 short")).to_be_visible()
    page.get_by_role("link", name="Hose").click()
    page.get_by_label("Mark").fill("Coil 7")
    page.get_by_label("How much").fill("25")
    page.get_by_role("button", name="Put it on the shelf").click()
    expect(page.get_by_text("Lot Coil 7 is on the shelf.")).to_be_visible()
    page.get_by_role("link", name="What to order").click()
    expect(page.get_by_role("heading", name="Nothing to order")).to_be_visible()


def test_without_scripts_the_bench_takes_and_counts_too(
    browser: object, context: BrowserContext, base_url: str, step: Step
) -> None:
    plain = browser.new_context(
        base_url=base_url, java_script_enabled=False, storage_state=context.storage_state()
    )
    page = plain.new_page()
    page.goto(materials_of(step))
    page.get_by_role("button", name="Take 0.25 m²").click()
    expect(page.get_by_text("all taken")).to_be_visible()
    page.goto(reverse("lot", args=[Lot.objects.get(code="KV-2309").pk]))
    page.get_by_label("Found").fill("29")
    page.get_by_label("Why it differs").fill("Stained end.")
    page.get_by_role("button", name="Keep the count").click()
    expect(page.get_by_text("The count is kept.")).to_be_visible()
    plain.close()
