"""Handing gear back: to whom, known how, signed by them, and what was still open then."""

from collections.abc import Iterator
from typing import Any

from django.db import transaction
from django.utils import timezone

from shoprepair.jobs import stages
from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.pricing import answers
from shoprepair.pricing.quotes import finding
from shoprepair.pricing.quotes.steps import lock
from shoprepair.shop import journal
from shoprepair.shop.access import is_owner
from shoprepair.shop.languages import gettext_lazy, in_a_sentence
from shoprepair.shop.models import Staff
from shoprepair.shop.said import Said, gettext
from shoprepair.work import invoices, signals, signature
from shoprepair.work.guards import every_step_over, every_tube_holds, second_person_looked
from shoprepair.work.models import HandBack
from shoprepair.work.models.hand_back import known_way

LONGEST_KNOWN_BY = 200
LONGEST_REASON = 200
FROM = (Stage.READY, Stage.HOLD_TEST, Stage.BENCH)
"""Where gear can be handed back from; before Ready the owner alone does."""


class HandBackRefused(ValueError):
    """It is not handed back (or taken back); `reasons` says why, a sentence each, `field` where."""

    def __init__(self, reasons: list[str], field: str = "") -> None:
        super().__init__(" ".join(reasons))
        self.reasons = reasons
        self.field = field


def of(job: Job) -> HandBack | None:
    """The hand-back that stands, if the gear is out."""
    return HandBack.objects.filter(job=job, taken_back_at=None).select_related("who", "override_by").first()


def open_points(job: Job) -> list[str]:
    """What is still open before the gear leaves, a sentence each; empty where nothing is."""
    return list(filter(None, _points(job)))


def _points(job: Job) -> Iterator[str]:
    if job.stage not in (Stage.READY, Stage.HANDED_BACK):
        yield gettext("The job is at “%(label)s”, not yet ready.") % {"label": Stage(job.stage).label}
    if job.hold:
        yield gettext("It is on hold: %(lower)s.") % {"lower": in_a_sentence(Hold(job.hold).label)}
    yield every_step_over(job)
    yield every_tube_holds(job)
    yield second_person_looked(job)
    yield _unanswered(job)
    yield _unpaid(job)


def _unanswered(job: Job) -> str:
    out = finding.out(job)
    return (
        gettext("Quote %(number)s still awaits the customer's answer.") % {"number": out.number}
        if out
        else ""
    )


def _unpaid(job: Job) -> str:
    owing = invoices.owed(job)
    if owing.due < 0:
        return gettext("%(said)s too much was paid and goes back to the customer.") % {
            "said": owing.said(-owing.due)
        }
    if not owing.due:
        return ""
    of_all = gettext(" of %(said)s") % {"said": owing.said(owing.total)} if owing.paid else ""
    return gettext("%(said)s%(of_all)s is still to be paid.") % {
        "said": owing.said(owing.due),
        "of_all": of_all,
    }


@transaction.atomic
def give(
    job: Job,
    taker_name: str,
    known_by: str,
    signed: Any,
    *,
    who: Staff,
    override_reason: str = "",
    on_paper: bool = False,
    typed: str = "",
) -> HandBack:
    """Hand the gear back: written down with its invoice, and the job's stage moved, all or nothing.

    signed: strokes as `signature.checked` takes them; with `on_paper` they signed the printed sheet.
    typed: the name as they typed it instead, who cannot or would rather not draw.
    While anything is open only the owner may, with a reason. Raises HandBackRefused.
    """
    held = lock(job)
    reason = _short(override_reason, LONGEST_REASON, "override_reason")
    facts = {
        "taker_name": _name(taker_name),
        "known_by": _known(known_by),
        **_signed(signed, typed, on_paper=on_paper),
    }
    points = _may(held, who, reason)
    due = invoices.owed(held).due
    if invoices.agreements(held):
        invoices.make(held, who=who)
    override = {"override_by": who, "override_reason": reason} if points else {}
    given = HandBack.objects.create(
        job=held, **facts, **override, open_points=points, due=due, who=who, at=timezone.now()
    )
    if held.hold:
        stages.set_hold(held, Hold.NONE, who=who)
    stages.move(held, Stage.HANDED_BACK, who=who, reason=reason if points else "")
    journal.record(held, "hand-back.given", _told(given), who=who)
    signals.handed_back.send(sender=HandBack, hand_back=given, who=who)
    job.refresh_from_db()
    return given


@transaction.atomic
def take_back(job: Job, *, who: Staff, reason: str) -> Job:
    """It was not handed back after all: the job is ready again. The owner says so, and why.

    Raises HandBackRefused.
    """
    held = lock(job)
    if not is_owner(who):
        raise HandBackRefused([gettext("Only the owner may say that it was not handed back.")])
    if held.stage != Stage.HANDED_BACK:
        raise HandBackRefused(
            [
                gettext("The job is at “%(label)s”; it was not handed back.")
                % {"label": Stage(held.stage).label}
            ]
        )
    reason = _short(reason, LONGEST_REASON, "reason")
    if not reason:
        raise HandBackRefused([gettext("Say why, in a few words.")], "reason")
    HandBack.objects.filter(job=held, taken_back_at=None).update(taken_back_at=timezone.now())
    stages.move(held, Stage.READY, who=who, reason=reason)
    signals.taken_back.send(sender=HandBack, job=held, who=who, reason=reason)
    job.refresh_from_db()
    return job


def _may(job: Job, who: Staff, reason: str) -> list[str]:
    """What is open and overruled. Raises HandBackRefused where that is not for this person to do."""
    if given := of(job):
        raise HandBackRefused(
            [gettext("It was handed back to %(taker_name)s already.") % {"taker_name": given.taker_name}]
        )
    if job.stage not in FROM:
        raise HandBackRefused(
            [
                gettext("The job is at “%(label)s” and cannot be handed back from it.")
                % {"label": Stage(job.stage).label}
            ]
        )
    points = open_points(job)
    if points and not is_owner(who):
        raise HandBackRefused([*points, gettext("Mend that first, or let the owner hand it back as it is.")])
    if points and not reason:
        raise HandBackRefused(
            [*points, gettext("Say why it is handed back so, in a few words.")], "override_reason"
        )
    return points


def _told(given: HandBack) -> str:
    left = " Open: " + " ".join(given.open_points) if given.open_points else ""
    on_paper = gettext(", signed on paper") if given.on_paper else ""
    if given.typed_name:
        on_paper = gettext(", signed by typing “%(name)s”") % {"name": given.typed_name}
    return gettext("Handed back to %(taker_name)s, known by %(known_by)s%(on_paper)s.%(left)s") % {
        "taker_name": given.taker_name,
        "known_by": _said_known(given),
        "on_paper": on_paper,
        "left": left,
    }


def _said_known(given: HandBack) -> str:
    """How they were known, to be told in any language later."""
    way, _, more = given.known_by.partition(": ")
    way = known_way(way)[:]
    return Said.of(
        given.known, ["%(way)s: %(more)s", {"way": [way, {}], "more": more}] if more else [way, {}]
    )


def _signed(drawn: Any, typed: str, *, on_paper: bool) -> dict[str, Any]:
    """Their signature as the hand-back keeps it: on paper, typed, or drawn."""
    name = "" if on_paper else _short(typed, answers.LONGEST_NAME, "typed_name")
    if name and not any(letter.isalpha() for letter in name):
        raise HandBackRefused([gettext("Type the name in letters, as they would sign.")], "typed_name")
    strokes = [] if on_paper or name else _strokes(drawn)
    return {"signature": strokes, "on_paper": on_paper, "typed_name": name or None}


def _name(typed: str) -> str:
    try:
        return answers.name_of(typed)
    except answers.AnswerRefused:
        too_long = len(typed) > answers.LONGEST_NAME
        words = (
            gettext("Write the name in %(LONGEST_NAME)s letters or fewer.")
            % {"LONGEST_NAME": answers.LONGEST_NAME}
            if too_long
            else _NO_NAME
        )
        raise HandBackRefused([words], "taker_name") from None


def _known(typed: str) -> str:
    known = _short(typed, LONGEST_KNOWN_BY, "known_by")
    if not known:
        raise HandBackRefused(
            [gettext("Say how you know them: by the tag, by a document, in person.")], "known_by"
        )
    return known


def _strokes(signed: Any) -> signature.Strokes:
    try:
        return signature.checked(signed)
    except signature.SignatureRefused as refusal:
        raise HandBackRefused([str(refusal)], "signature") from None


def _short(typed: str, longest: int, field: str) -> str:
    said = " ".join(typed.replace("\0", "").split())
    if len(said) > longest:
        raise HandBackRefused(
            [
                gettext("Say it in %(longest)s letters or fewer; these are %(said)s.")
                % {"longest": longest, "said": len(said)}
            ],
            field,
        )
    return said


_NO_NAME = gettext_lazy("Write the name of whoever takes it.")
