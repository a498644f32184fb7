"""What each person of the shop does in a day, told once and done by whatever hands are given.

`Keyboard` does it by keys alone, `Voice` by names alone. What is asked of the hands is only to
press, tick, write, choose, open and give; each task says what must stand there afterwards.
"""

import datetime
import re

from django.utils import timezone
from playwright.sync_api import Page, expect

from shoprepair.jobs.models import Damage, Job, Stage
from shoprepair.work import steps, stock
from shoprepair.work.models import HoldTest, Use
from tests.browser.by_keyboard import Keyboard
from tests.browser.by_name import Voice
from tests.browser.test_bench import settled
from tests.counter.checking_in import picture

Hands = Keyboard | Voice


def heading(page: Page, name: str | re.Pattern[str]) -> None:
    """A page or a part of it says where one is."""
    expect(page.get_by_role("heading", name=name).first).to_be_visible()


def logs_in(hands: Hands, name: str) -> None:
    """From the log-in to the first page."""
    hands.go("/log-in/")
    hands.write("Name", name, exact=True)
    hands.write("Password", "x")
    hands.press("button", "Log in", exact=True)
    expect(hands.page.get_by_role("banner")).to_be_visible()


def checks_in_a_stranger(hands: Hands) -> Job:
    """Somebody nobody knows comes in with a wing that is cut; it leaves the counter with a tag."""
    page = hands.page
    hands.press("link", "Check in", within=page.get_by_role("navigation", name="Main"))
    hands.write("Who is it?", "Oda Tveit")
    expect(page.get_by_text("Nobody by")).to_be_visible()
    hands.press("link", "Add a customer")
    hands.write("Phone", "+1 555 0177")
    hands.press("button", "Add, then choose the gear")
    hands.choose("Model", "Holm 5.0 wing")
    hands.write("Colour", "coral")
    hands.press("button", "Begin the check-in")
    heading(page, "Where is it damaged?")
    hands.pin()
    heading(page, re.compile("^Damage 1"))
    hands.choose("What is it?", "cut")
    hands.write("Length of the cut", "35 mm")
    hands.choose("Runs", "along the tube")
    hands.choose("Where around the tube", "front")
    hands.choose("Through the bladder?", "yes")
    hands.choose("Old patch or glue here?", "no")
    hands.choose("Wet or sandy here?", "no")
    hands.choose("Cloth around it", "faded")
    expect(page.get_by_role("region", name="How dangerous it is")).to_contain_text("Grounded")
    hands.give("Take a photo", {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": picture().read()})
    expect(page.locator('.photo[data-state="kept"]')).to_have_count(1)
    hands.tick("Oda Tveit agrees")
    with page.context.expect_page():
        hands.press("button", "Check in and print the tag")
    heading(page, re.compile("is checked in"))
    expect(page.get_by_role("link", name=re.compile("tag"))).to_be_visible()
    job, damage = Job.objects.get(), Damage.objects.get()
    assert (job.stage, damage.length_typed, damage.face) == (Stage.CHECKED_IN, "35 mm", "front")
    return job


def finds_the_most_dangerous(hands: Hands) -> None:
    """From the rack, narrowed and searched, to the sheet of what would fail first."""
    page = hands.page
    hands.go("/")
    hands.press("link", re.compile("^Grounded"), within=page.get_by_role("navigation", name="Band"))
    expect(page).to_have_url(re.compile("band=Grounded"))
    hands.write("Number, name, gear or serial on the rack", "oda")
    expect(page.get_by_role("status").first).to_contain_text("1 job")
    hands.press("link", re.compile("^Job 0001"))
    heading(page, re.compile("Holm 5.0 wing"))


def takes_a_job_to_its_answer(hands: Hands, job: Job) -> None:
    """Assessed, put on hold and off it, quoted, sent, and the customer's yes taken down."""
    page = hands.page
    hands.press("button", "Assessment is done", within=page.get_by_role("region", name="Stage"))
    heading(page, "Stage: Assessed")
    hands.choose("Does it wait?", "Waiting for parts")
    hands.write("For what", "valve ordered")
    hands.press("button", "Keep this hold")
    expect(page.get_by_label("For what")).to_have_value("valve ordered")
    expect(page.get_by_label("Parts expected on")).to_be_visible()
    hands.choose("Does it wait?", "No hold")
    hands.press("button", "Keep this hold")
    expect(page.get_by_label("Parts expected on")).to_be_hidden()
    hands.go(f"{job.get_absolute_url()}quote/")
    hands.press("button", "Draft the quote")
    heading(page, "Quote 1")
    hands.press("button", re.compile("^Remove Sew a small patch"))
    hands.press("button", re.compile("^Put it back"))
    expect(page.get_by_role("button", name=re.compile("^Remove Sew a small patch"))).to_be_visible()
    hands.press("link", "Send the quote")
    hands.press("button", "Put it out, to hand over")
    hands.press("link", "Record the customer’s answer")
    hands.press("button", re.compile("^Yes, for"))
    expect(page.get_by_text("Accepted by")).to_be_visible()
    job.refresh_from_db()
    assert job.stage == Stage.GO_AHEAD


def hands_it_back(hands: Hands, job: Job) -> None:
    """Paid and given back; whoever cannot draw a name signs on paper."""
    page = hands.page
    hands.go(f"{job.get_absolute_url()}hand-back/")
    hands.choose("How", "Card")
    hands.press("button", "Take the payment")
    expect(page.get_by_text("paid in full")).to_be_visible()
    hands.choose("Known by", "In person")
    hands.tick("Signed on paper")
    hands.press("button", "Hand it back", exact=True)
    heading(page, re.compile("^Taken by"))
    job.refresh_from_db()
    assert job.stage == Stage.HANDED_BACK


def works_at_the_bench(hands: Hands, job: Job) -> None:
    """A job is taken; a step is done and undone, another left out, its material taken."""
    page, every = hands.page, steps.of(job)
    hands.go("/bench/")
    hands.press("button", "Take it")
    hands.press("button", "Start this step")
    heading(page, every[0].text)
    hands.press("button", re.compile("^Done"))
    heading(page, every[1].text)
    settled(page)
    hands.press("button", "Undo")
    heading(page, every[0].text)
    settled(page)
    hands.open("Skip…")
    hands.write("Why is it left out?", "It was open already")
    hands.press("button", re.compile("^Leave it out"))
    heading(page, every[1].text)
    settled(page)
    every[0].refresh_from_db()
    assert (every[0].state, every[0].reason) == ("skipped", "It was open already")
    sewn = next(step for step in every if stock.for_step(step))
    hands.go(f"/bench/jobs/{job.number}/steps/{sewn.pk}/")
    hands.press("button", re.compile("^Take .* of "), first=True)
    heading(page, "Taken")
    assert Use.objects.get().lot.code == "L1"


def tests_that_it_holds(hands: Hands, job: Job) -> None:
    """Pumped, read twice, decided."""
    page = hands.page
    hands.go(f"/bench/jobs/{job.number}/hold-test/")
    hands.press("button", "Begin the test")
    heading(page, "First reading")
    for bar, hours in (("0.500", 2), ("0.499", 0)):
        hands.write("Pressure", bar, exact=True)
        hands.write("Temperature", "20", exact=True)
        hands.set("Read at", timezone.localtime() - datetime.timedelta(hours=hours))
        hands.press("button", "Keep the reading")
        expect(page.get_by_role("button", name=re.compile(f"Take out the reading {bar}"))).to_be_visible()
    heading(page, "It holds")
    hands.press("button", "It holds", exact=True)
    expect(page.get_by_role("button", name="Ready for the customer")).to_be_visible()
    assert HoldTest.objects.get().verdict == HoldTest.Verdict.HOLDS


def keeps_the_office(hands: Hands) -> None:
    """The evening page and what it leads to: a person, a price, a pattern, the settings, a backup."""
    page = hands.page
    hands.go("/office/")
    hands.press("link", re.compile("^People"))
    hands.press("link", "Add somebody")
    hands.write("Name", "Isa Marn", exact=True)
    hands.choose("Works as", "Bench: repairs, tests, takes photos")
    hands.write("Log-in name", "isa")
    hands.write("Password", "wet sand on the quay")
    hands.press("button", "Add to the shop")
    expect(page.get_by_role("link", name=re.compile("Isa Marn"))).to_be_visible()

    hands.go("/office/")
    hands.press("link", re.compile("^Catalogue"))
    hands.write("Find", "hose", exact=True)
    expect(page.get_by_role("status").first).to_contain_text(re.compile(r"\d of \d+ operations"))
    hands.press("link", "Replace a hose")
    hands.write("Set-up", "11")
    hands.press("button", "Save")
    expect(page.get_by_role("status").first).to_contain_text("Saved: Set-up.")

    hands.go("/office/patterns/")
    hands.press("link", "Holm 5.0 wing")
    hands.press("link", "Correct the figures")
    hands.write("Sweep", "700 mm", exact=True)
    hands.press("button", "Save the figures")
    expect(page.get_by_role("status").first).to_contain_text("Version 2")

    hands.go("/office/settings/")
    hands.choose("Pressure", "psi")
    hands.write("Name of the shop", "Northquay Loft")
    hands.press("button", "Save settings")
    expect(page.get_by_role("status").first).to_contain_text("Saved")

    hands.go("/office/what-fails/")
    hands.press("link", "How long repairs hold")
    heading(page, "How long repairs hold")
    hands.go("/office/data/backups/")
    hands.press("button", "Make a backup now")
    expect(page.get_by_role("status").first).to_be_visible()


def answers_a_quote(hands: Hands, address: str) -> None:
    """A customer reads, asks something, leaves one thing out and says yes."""
    page = hands.page
    hands.go(address)
    heading(page, "May it be used meanwhile?")
    hands.write("Your question", "Can it be ready before the long weekend?")
    hands.write("Your name, for the question", "Ilka")
    hands.press("button", "Ask the shop")
    expect(page.get_by_text("Can it be ready before the long weekend?")).to_be_visible()
    hands.tick("Wash and dry")
    expect(page.get_by_role("checkbox", name="Wash and dry")).not_to_be_checked()
    hands.write("Your name", "Ilka Sandvoort", exact=True)
    hands.press("button", re.compile("^Accept for"))
    expect(page.get_by_text("You said yes.")).to_be_visible()


def asks_before_coming(hands: Hands) -> None:
    """A visitor walks the whole self-check to its answer and sends an enquiry."""
    page = hands.page
    hands.go("/self-check/")
    for answer in ("^Wing", "^3.5 to 5.5", "^Cloth, further out", "^Torn cloth", "^Your hand"):
        hands.press("link", re.compile(answer), first=True)
    heading(page, "Get home with a temporary fix, then bring it in")
    hands.press("link", "Send it to the shop")
    hands.write("Your name", "Ilka Sandvoort")
    hands.write("Phone number or e-mail address", "+1 555 0134")
    hands.choose("How will it come?", "I send it by post")
    hands.press("button", "Send", exact=True)
    heading(page, re.compile("."))
    expect(page).to_have_url(re.compile("/sent/|/thanks/"))
