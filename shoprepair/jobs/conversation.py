"""What the customer asks and the shop answers about a job. Nothing said is ever changed."""

import datetime
import unicodedata

from django.db import models, transaction
from django.utils import timezone

from shoprepair.jobs import links
from shoprepair.jobs.models import Job, Message
from shoprepair.shop import journal, outbox, settings
from shoprepair.shop.languages import thousands
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext

LONGEST_TEXT = 2000
LONGEST_NAME = 120
MOST_UNANSWERED_A_DAY = 20
_BLANK_LETTERS = frozenset("\u115f\u1160\u3164\uffa0")
"""Letters to Unicode, nothing to the eye."""
_JOINERS = frozenset("\u200c\u200d")
"""Invisible, and part of how names are written in several scripts."""


class NotSaid(ValueError):
    """Nothing was kept; the message says why. `field` is "name", "text", or "" for the whole."""

    def __init__(self, sentence: str, field: str = "") -> None:
        super().__init__(sentence)
        self.field = field


def ask(job: Job, *, name: str, text: str) -> Message:
    """Keep the customer's question. Sent twice in a row it is kept once. Raises NotSaid."""
    name, text = clean_name(name), clean_text(text, gettext("Write your question first."))
    with transaction.atomic():
        Job.objects.select_for_update().get(pk=job.pk)
        newest = messages(job).last()
        if newest and newest.by_id is None and (newest.name, newest.text) == (name, text):
            return newest
        if _unanswered_today(job) >= MOST_UNANSWERED_A_DAY:
            raise NotSaid(
                gettext(
                    "%(MOST_UNANSWERED_A_DAY)s questions of today still wait for an answer. The "
                    "shop will answer them first; call if it cannot wait."
                )
                % {"MOST_UNANSWERED_A_DAY": MOST_UNANSWERED_A_DAY}
            )
        message = Message.objects.create(job=job, name=name, text=text, at=timezone.now())
        journal.record(
            job,
            "question.asked",
            gettext("Question: %(text)s") % {"text": text},
            who=None,
            who_name=gettext("%(name)s (customer)") % {"name": name},
        )
    return message


def reply(job: Job, *, who: Staff, text: str, base_url: str = "") -> Message:
    """Keep the shop's answer and, where the customer has an e-mail address, write a letter. Raises NotSaid.

    `base_url` is where the customer reaches the shop; empty: as the shop's settings say.
    """
    text = clean_text(text, gettext("Write the answer first."))
    with transaction.atomic():
        asked = messages(job).filter(by=None).last()
        message = Message.objects.create(job=job, by=who, name=str(who), text=text, at=timezone.now())
        journal.record(job, "question.answered", gettext("Answer: %(text)s") % {"text": text}, who=who)
        base_url = base_url or settings.current().web_address
        if job.customer.email and base_url:
            link = links.url(links.make(job, who=who), base_url)
            _write_letter(job, asked.text if asked else "", text, link)
    return message


def messages(job: Job) -> models.QuerySet[Message]:
    """All that was said about the job, in order."""
    return Message.objects.filter(job=job).order_by("id")


def unanswered(job: Job) -> bool:
    """Whether the last word is the customer's."""
    newest = messages(job).last()
    return newest is not None and newest.by_id is None


def clean_name(name: str) -> str:
    """A person's name on one line. Raises NotSaid where nothing in it can be read, or it is over-long."""
    seen = (c for c in _readable(name) if c in _JOINERS or unicodedata.category(c) != "Cf")
    name = " ".join("".join(seen).split())
    if not any(character.isalnum() and character not in _BLANK_LETTERS for character in name):
        raise NotSaid(gettext("Type your name, so that the shop knows who says it."), "name")
    if len(name) > LONGEST_NAME:
        raise NotSaid(
            gettext("A name has at most %(LONGEST_NAME)s characters; this one has %(name)s.")
            % {"LONGEST_NAME": LONGEST_NAME, "name": len(name)},
            "name",
        )
    return name


def clean_text(text: str, when_empty: str) -> str:
    """What was written, with its lines. Raises NotSaid where it is empty or over-long."""
    text = _readable(text.replace("\r\n", "\n").replace("\r", "\n")).strip()
    if not text:
        raise NotSaid(when_empty, "text")
    if len(text) > LONGEST_TEXT:
        raise NotSaid(
            gettext(
                "At most %(LONGEST_TEXT)s characters go into one message; this one has "
                "%(text)s. Shorten it, or send it in two."
            )
            % {"LONGEST_TEXT": thousands(LONGEST_TEXT), "text": thousands(len(text))},
            "text",
        )
    return text


def _write_letter(job: Job, question: str, answer: str, link: str) -> None:
    context = {
        "customer": job.customer.name,
        "job": str(job),
        "gear": str(job.inflatable),
        "link": link,
        "question": question,
        "answer": answer,
    }
    outbox.write(job.customer.email, "question-answered", context, about=job)


def _readable(text: str) -> str:
    """Without control characters, which no one can see and no database likes; lines and tabs stay."""
    return "".join(c for c in text if c in "\n\t" or unicodedata.category(c) not in {"Cc", "Cs"})


def _unanswered_today(job: Job) -> int:
    """Questions of the last 24 hours that came after the shop's last answer."""
    asked = messages(job).filter(by=None, at__gt=timezone.now() - datetime.timedelta(days=1))
    answered = messages(job).exclude(by=None).last()
    return asked.filter(id__gt=answered.id).count() if answered else asked.count()
