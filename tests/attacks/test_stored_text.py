"""Somebody writes markup, commands and codes wherever one can write, and waits for who reads it."""

import json
import re
from html.parser import HTMLParser

import pytest
from django.urls import reverse

from shoprepair.jobs import conversation, links, search
from shoprepair.jobs.models import Damage
from shoprepair.shop import journal
from shoprepair.shop.settings import current
from tests.attacks.payloads import CANARY, PAYLOADS
from tests.factories import (
    CustomerFactory,
    DamageFactory,
    InflatableFactory,
    JobFactory,
    OwnershipFactory,
    PatternFactory,
)

pytestmark = pytest.mark.django_db
ALL = " ".join(PAYLOADS)


class Marks(HTMLParser):
    """What of a page is not words, and came out of what was written: elements, attributes, addresses."""

    TAGS = {"iframe", "object", "embed", "base", "math", "marquee", "foreignobject"}
    EVENTS = ("on", "hx-", "data-hx-on", "style", "srcdoc", "formaction")
    PLACES = re.compile(r"\s*(javascript:|data:text|vbscript:|(https?:)?/{0,2}canary|.*url=//canary)", re.I)

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag, attributes):
        if CANARY in tag or tag in self.TAGS:
            self.found.append(tag)
        for name, value in attributes:
            if CANARY in name or name.startswith(self.EVENTS):
                self.found.append(f"{tag} {name}")
            if name in {"id", "name", "for"} and CANARY in (value or ""):
                self.found.append(f"{tag} {name}={value}")
            if (name in {"href", "src", "action", "content"} or "hx-" in name) and self.PLACES.match(
                value or ""
            ):
                self.found.append(f"{tag} {name}={value}")

    def handle_comment(self, data):
        self.found += ["comment"] if CANARY in data else []

    def handle_data(self, data):
        if self.lasttag in {"script", "style"} and CANARY in data:
            self.found.append(self.lasttag)


def short(length: int, first: int = 0) -> str:
    """As many of them as fit, beginning with that one."""
    return " ".join(PAYLOADS[first:])[:length]


@pytest.fixture
def damage(counter, owner) -> Damage:
    """A job in which every text that people write holds all of it."""
    shop = current()
    shop.name, shop.address, shop.terms, shop.phone = short(120, 3), ALL, ALL, short(40, 1)
    shop.save()
    customer = CustomerFactory(name=short(120), phone=short(40, 1), email="ilka@sand.example", note=ALL)
    pattern = PatternFactory(name=short(80, 7))
    gear = InflatableFactory(pattern=pattern, serial=short(40, 3), colour=short(40, 5), note=ALL)
    OwnershipFactory(customer=customer, inflatable=gear)
    job = JobFactory(customer=customer, inflatable=gear, hold_note=short(200, 12), note=ALL, terms=ALL)
    damage = DamageFactory(job=job, note=ALL)
    links.make(job, who=counter)
    conversation.ask(job, name="<b id=canary>Ilka", text=ALL)
    journal.record(job, "job.corrected", ALL, who=counter, changes={"name": [ALL, ALL]})
    search.index(customer)
    return damage


def pages(damage):
    number = damage.job.number
    yield from (
        "/",
        "/check-in/?q=canary",
        "/search/?q=canary",
        f"/jobs/{number}/",
        f"/jobs/{number}/correct/",
    )
    yield from (f"/jobs/{number}/damages/{damage.number}/", f"/jobs/{number}/repairs/", "/office/settings/")
    yield from (f"/gear/{damage.job.inflatable_id}/", "/office/patterns/", "/office/people/", "/bench/")
    yield links.path(links.current(damage.job))


def test_whatever_people_write_is_words_on_every_page_that_shows_it(damage, owner, as_person):
    client, unshown = as_person(owner), []
    for where in pages(damage):
        page = client.get(where).content.decode()
        assert not Marks(page).found, (where, Marks(page).found)
        assert "49" not in re.findall(r"x(\d+)x", page), where
        unshown += [] if CANARY in page else [where]
    assert len(unshown) <= 4, unshown


def test_each_of_these_would_be_seen_if_it_were_more_than_words():
    marks = [one for one in PAYLOADS if one.startswith(("<", "'", '"')) and not one.startswith("</script")]
    assert [one for one in marks if not Marks(f"<i a='{one}'>{one}-->").found] == []


def test_the_same_words_come_back_from_a_form_that_was_refused(damage, counter, as_person):
    client = as_person(counter)
    sent = {"name": "", "phone": ALL, "email": ALL, "notes": ALL}
    answer = client.post(reverse("check-in-customer"), sent)
    assert answer.status_code == 422
    assert not Marks(answer.content.decode()).found


def test_what_a_script_is_handed_cannot_end_its_element():
    """JSON in a page is written by the template's own filters, which let no < through."""
    from django.utils.html import json_script

    handed = json_script({"text": "</script><!--"}, "handed")
    assert "</script><!--" not in handed
    assert json.loads(re.search(r">(.*)<", handed)[1]) == {"text": "</script><!--"}
