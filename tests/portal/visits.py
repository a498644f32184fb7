"""Visits as a customer meets them through the status link, and what is read from the page."""

import re
from collections.abc import Iterable
from html import unescape

from django.apps import apps
from django.test import Client

from shoprepair.jobs import assessment, links, stages
from shoprepair.jobs.models import Damage, Job, Stage
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Quote, QuoteLine
from shoprepair.shop.models import Staff
from tests.factories import (
    CustomerFactory,
    DamageFactory,
    JobFactory,
    QuoteFactory,
    QuoteLineFactory,
    handed_back,
)

SHOP = "https://loft.example"


def assessed(**facts: object) -> Job:
    """A job with one judged cut, ready for its quote."""
    facts.setdefault("customer", CustomerFactory(name="Ilka Sandvoort", email="ilka@sand.example"))
    job = JobFactory(stage=Stage.ASSESSED, **facts)
    judged(job)
    return job


def judged(job: Job, **facts: object) -> Damage:
    """A damage of the job with its figures worked out."""
    damage = DamageFactory(job=job, **facts)
    assessment.assess_damage(damage)
    damage.save()
    assessment.assess_job(job)
    return damage


def address(job: Job, part: str = "") -> str:
    """The page under the job's status link, or what lies under that."""
    link = links.current(job)
    assert link is not None
    return f"{links.path(link)}{part}"


def bid(job: Job, who: Staff, lines: Iterable[dict[str, object]] = (), **facts: object) -> Quote:
    """A quote of a patch for 100 and these lines, with 10 % tax, sent out."""
    quote = QuoteFactory(job=job, **facts)
    for line in [{"text": "Casing patch"}, *lines]:
        QuoteLineFactory(quote=quote, **line)
    sent = quotes.send(quote, who=who, version=quote.version, base_url=SHOP)
    job.refresh_from_db()
    return sent


def line(quote: Quote, text: str) -> QuoteLine:
    """The line of a quote that says this."""
    return quote.lines.get(text=text)


def given(quote: Quote, /, *, act: str = "accept", **fields: object) -> dict[str, object]:
    """The form of a quote as its page sends it: what the shop advises, and a name."""
    chosen = {"take": [one.pk for one in quote.lines.filter(optional=True, choice="", taken=True)]}
    words = dict.fromkeys(one.choice for one in quote.lines.exclude(choice=""))
    for place, word in enumerate(words):
        chosen[f"choice-{place}"] = [one.pk for one in quote.lines.filter(choice=word, taken=True)]
    return {
        "act": act,
        "quote": quote.number,
        "version": quote.version,
        "total_shown": "110.00",
        "name": "Ilka Sandvoort",
        **chosen,
        **fields,
    }


def answer(client: Client, job: Job, quote: Quote, /, **fields: object):
    """Send the quote's form."""
    return client.post(address(job, "answer/"), given(quote, **fields))


def read(client: Client, job: Job) -> str:
    """The words of the page as a reader meets them."""
    response = client.get(address(job))
    assert response.status_code == 200
    return words(response)


def words(response) -> str:
    """A page's words without its marks, on one line."""
    body = re.sub(r"<(script|title)\b.*?</\1>", " ", response.content.decode(), flags=re.DOTALL)
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", "", body)))


def said_beside(response) -> list[tuple[str, str]]:
    """All that a browser is told beside the page; the number of the request is another each time."""
    return sorted(header for header in response.headers.items() if header[0] != "X-Request-ID")


def kept() -> dict[str, list[dict[str, object]]]:
    """Everything in the database."""
    return {model._meta.label: list(model._base_manager.values()) for model in apps.get_models()}


def go(job: Job, who: Staff, *to: str) -> Job:
    """Take the job from stage to stage."""
    for stage in to:
        if stage == Stage.HOLD_TEST:
            job.steps.update(state="done")
        if stage == Stage.HANDED_BACK:
            handed_back(job, who)
        else:
            stages.move(job, stage, who=who, reason="as the test wants it")
    return job
