"""No page keeps anybody out: one walk over the main pages of each kind of person.

Each page is met by name, by outline and by role; with letters twice as large, in colours that are
forced on it, without motion; by a finger, or a glove; on the narrowest phone; without scripts.
"""

import datetime
from collections.abc import Callable, Iterator
from decimal import Decimal

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from shoprepair.cover import links as cover_links
from shoprepair.jobs import damages, photos, stages
from shoprepair.jobs.advice.told import Told
from shoprepair.jobs.enquiries.making import send
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Material
from shoprepair.shop.models import Staff
from shoprepair.work import next_up, stock
from tests.browser import everyone
from tests.browser.conftest import TABLET
from tests.browser.visits import visit
from tests.counter.checking_in import picture
from tests.cover.claiming import a_claim, a_covered_casing
from tests.factories import held, quoted, ready
from tests.pictures import addresses
from tests.pictures.table import SPECIAL
from tests.pricing.mending import stocked
from tests.work.benching import a_cut_job, agree, do_all

NARROW = {"width": 320, "height": 640}
CUT = Told(
    kind="wing", size="medium", at="front-centre", look="cut", length="coin", fold="untried", far="home"
)
ASKED = "kind=wing&size=medium&at=canopy-outer&look=torn"
PAGES = {
    "counter": """rack search check-in check-in-customer check-in-gear job-check-in job-checked-in
        enquiry-model damage my-units my-log-in job:enquiry job:checked-in job:quote-out job:bench job:ready
        job-correct repairs repair quote:draft quote:out quote-line quote-send quote-answer hand-back gear
        cover-one transfer-offer claim""",
    "bench": """bench bench-time bench-job bench-found bench-step hold-test stock stock-order material-stock
        lot step-materials""",
    "owner": """office quotes-waiting late-jobs money-week bench-week failing lives leaving backups people
        person person-add patterns pattern pattern-edit cloths catalogue operation materials material settings
        load-figures price-rules work-rules bench-hours holidays mail-texts mail-text claims""",
    "nobody": "login status:quote-out status:ready cover-page self-check enquiry",
}
BESIDES = {
    "nobody": [
        "/self-check/?kind=wing&size=medium",
        f"/self-check/?{ASKED}",
        f"/self-check/?{ASKED}&length=hand&far=home",
        f"/self-check/enquiry/?{ASKED}&length=hand&far=home",
    ]
}


WRONG = {
    "owner": """check-in-customer check-in-gear job-correct quote quote-line lot settings
        load-figures person-add pattern-edit cloth-add operation-add material-add price-rules work-rules
        holidays mail-text times-kept""",
    "nobody": "login enquiry status",
}
"""Screens whose forms are sent wrong, as `tests.pictures.table` fills them in."""


@pytest.fixture
def shop(people: dict[str, Staff]) -> dict[str, str]:
    """A shop with a job at every stage, and where its pages stand."""
    stocked()
    owner, bench = people["owner"], people["bench"]
    for material in Material.objects.all():
        stock.receive(material, "L-1", Decimal(50), datetime.date(2026, 5, 4), None, who=owner)
    covered = a_covered_casing()
    a_claim(covered, owner)
    cover_links.current(covered.inflatable)
    here = visit(owner, "Oda Tveit")
    damages.pin(here, -0.4, 0.03, who=owner)
    for _ in range(2):
        photos.keep(here, picture(), who=owner)
    send([CUT], name="Jorunn Havelaar", contact="+1 555 0134", words="A pier.", comes="by-post", key="k1")
    quotes.draft(visit(owner, "Bram Okoye", stage=Stage.ASSESSED), who=owner)
    quoted(visit(owner, "Ilka Sandvoort", cut_mm=20, stage=Stage.ASSESSED), owner)
    ready(visit(owner, "Ida Quist", stage=Stage.ASSESSED), owner)
    at_work = _agreed()
    next_up.take(at_work, bench)
    tested = _agreed()
    stages.move(tested, Stage.BENCH, who=bench)
    do_all(tested, bench)
    held(stages.move(tested, Stage.HOLD_TEST, who=bench), bench)
    return addresses.everywhere()


def _agreed() -> Job:
    job = a_cut_job()
    agree(job)
    return job


@pytest.fixture
def plain(browser: Browser, context: BrowserContext, base_url: str) -> Iterator[Callable[[], Page]]:
    """The same person in a browser whose scripts are switched off."""
    made: list[BrowserContext] = []

    def page() -> Page:
        made.append(browser.new_context(base_url=base_url, viewport=TABLET, java_script_enabled=False))
        made[-1].add_cookies(context.cookies())
        return made[-1].new_page()

    yield page
    for each in made:
        each.close()


@pytest.mark.parametrize("who", PAGES)
def test_no_page_keeps_anybody_out(
    page: Page, plain: Callable[[], Page], shop: dict[str, str], people: dict[str, Staff], log_in, who: str
) -> None:
    if who in people:
        log_in(people[who])
    bare, troubles = plain(), []
    for where in [*(shop[name] for name in PAGES[who].split()), *BESIDES.get(who, ())]:
        page.set_viewport_size(TABLET)
        page.goto(where)
        page.evaluate("document.querySelectorAll('main details').forEach(one => { one.open = true; })")
        glove = where.startswith("/bench/")
        least = everyone.GLOVE_PX if glove else everyone.FINGER_PX
        found = {
            "to hear": everyone.unheard(page),
            "in forced colours": everyone.untold(page),
            "in motion": everyone.moving(page),
            "to press": everyone.too_small(page, least),
            "in large letters": everyone.large_letters(page),
        }
        page.set_viewport_size(NARROW)
        found["on a narrow phone"] = everyone.too_wide(page)
        if glove or where.endswith("/repairs/"):
            with everyone.twice_as_large(page):
                found["on a narrow phone in large letters"] = everyone.too_wide(page)
        bare.goto(where)
        found["without scripts"] = everyone.unsent(bare)
        troubles += [f"{where} {what}: {each}" for what, several in found.items() for each in several]
    assert not troubles, "\n".join(troubles)


@pytest.mark.parametrize("who", WRONG)
def test_what_is_refused_is_told_at_its_field(
    page: Page, shop: dict[str, str], people: dict[str, Staff], log_in, who: str, complaints: list[str]
) -> None:
    if who in people:
        log_in(people[who])
    page.set_viewport_size(TABLET)
    wrong = [one for one in SPECIAL if one.state == "wrong" and one.screen in WRONG[who].split()]
    assert len(wrong) == len(WRONG[who].split())
    troubles = []
    for one in wrong:
        where = one.at if one.at.startswith("/") else shop[one.at or one.screen]
        page.goto(where)
        before = page.title()
        one.act(page)
        troubles += [f"{one.screen}: {each}" for each in everyone.unexplained(page)]
        alerts = page.get_by_role("alert").filter(visible=True).count()
        if page.title() == before and not alerts and not page.locator("[aria-invalid=true]:focus").count():
            troubles.append(f"{one.screen}: neither title, alert nor focus say that it was refused")
    page.goto("about:blank")
    complaints.clear()  # The browser notes each 422 by itself.
    assert not troubles, "\n".join(troubles)
