"""The owner words a letter, and somebody decides about one that perhaps arrived, in a real browser."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from shoprepair.gear.models import Pattern
from shoprepair.shop import outbox
from shoprepair.shop.models import Letter, Staff
from shoprepair.shop.outbox import texts
from tests.browser.conftest import PHONE, TABLET, axe_clean
from tests.browser.test_office import SMALL
from tests.factories import InflatableFactory, JobFactory

pytestmark = pytest.mark.usefixtures("patterns")
PAGE = "/office/letters/quote-out/"


@pytest.fixture
def owner(people: dict[str, Staff], log_in: Callable[[Staff], None]) -> Staff:
    log_in(people["owner"])
    return people["owner"]


@pytest.fixture
def letter(people: dict[str, Staff]) -> Letter:
    """A letter of job 1 that nobody knows to have arrived."""
    job = JobFactory(
        number=1, inflatable=InflatableFactory(pattern=Pattern.objects.get(name="Holm 5.0 wing"))
    )
    values = {name: texts.SAMPLES[name] for name in texts.TEXTS["quote-out"].placeholders}
    letter = outbox.write("ida@lee.example", "quote-out", values, about=job)
    Letter.objects.filter(pk=letter.pk).update(state="unsure", last_error="the line broke")
    return letter


def test_the_preview_follows_the_typing_and_the_sentence_stands_beside_the_field(
    page: Page, owner: Staff
) -> None:
    page.goto(PAGE)
    preview, subject = page.locator("#preview"), page.get_by_label("Subject")
    expect(preview).to_contain_text("Hello Ida Vesterheim")

    subject.fill("News about {gear}")
    expect(preview).to_contain_text("News about Petrel 5.0, sea green")
    subject.fill("News about {thing}")
    expect(page.locator("#id_subject_error")).to_contain_text("This letter knows no {thing}.")
    expect(subject).to_be_focused()
    subject.fill("News about {gear}")
    expect(page.locator("#id_subject_error")).to_be_empty()

    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("status")).to_contain_text("reads so from the next letter on")
    page.goto(PAGE)
    page.get_by_role("button", name="Go back to the program's wording").click()
    expect(page.get_by_label("Subject")).to_have_value(texts.TEXTS["quote-out"].subject)


def test_without_scripts_a_button_shows_the_preview_and_nothing_typed_is_lost(
    browser: Browser, context: BrowserContext, base_url: str, owner: Staff
) -> None:
    plain = browser.new_context(
        java_script_enabled=False, base_url=base_url, storage_state=context.storage_state()
    )
    page = plain.new_page()
    page.goto(PAGE)
    page.get_by_label("Subject").fill("News about {gear}")
    page.get_by_role("button", name="Show the preview").click()

    expect(page.locator("#preview")).to_contain_text("News about Petrel 5.0, sea green")
    expect(page.get_by_label("Subject")).to_have_value("News about {gear}")
    assert texts.wording("quote-out").version == 0
    plain.close()


def test_a_letter_that_perhaps_arrived_is_sent_again_from_the_job(
    page: Page, owner: Staff, letter: Letter
) -> None:
    page.goto("/office/letters/")
    page.get_by_role("link", name="Open the job").click()
    mine = page.locator(f"#letter-{letter.pk}")
    expect(mine).to_contain_text("perhaps sent: the line broke")

    mine.get_by_role("button", name="Send again").click()
    expect(page.locator(f"#letter-{letter.pk}")).to_contain_text("waiting: no mail server is set")
    page.get_by_role("button", name="Do not send").click()
    expect(page.locator(f"#letter-{letter.pk}")).to_contain_text("not to be sent")


@pytest.mark.parametrize(("screen", "theme"), [(TABLET, "light"), (PHONE, "dark")])
def test_no_page_of_letters_shuts_anybody_out(
    page: Page, owner: Staff, letter: Letter, screen: dict[str, int], theme: str
) -> None:
    page.set_viewport_size(screen)
    page.emulate_media(color_scheme=theme)
    texts.change("ready", who=owner, version=0, subject="{gear} is ready", body="{link}")
    for path in ("/office/letters/", PAGE, "/office/letters/ready/", "/jobs/1/"):
        page.goto(path)
        axe_clean(page)
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0, path
        assert page.evaluate(SMALL) == [], path
