"""The worker: takes the letters that are due, one after the other, and sends each at most once."""

import logging
import threading
import time
import traceback
from dataclasses import dataclass
from datetime import datetime

from django.db import DatabaseError, InterfaceError, close_old_connections
from django.db.models import Count, F, Min, Q, QuerySet
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.mail_url import MailServer
from shoprepair.shop import daily, damaged, heartbeat, settings
from shoprepair.shop.files import waiting
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Letter, Shop
from shoprepair.shop.outbox import schedule, server
from shoprepair.shop.outbox.message import build, wire_address
from shoprepair.shop.outbox.sending import Envelope, Outcome, deliver
from shoprepair.shop.outbox.writing import address_trouble

State = Letter.State

LEFT_BEHIND = gettext_lazy("the program stopped while it was being sent")
ANSWER_S = 10.0
PAUSE_S = 5.0
DUTIES_S = 60.0
"""So often the worker looks whether something of the day is to be done."""
DATABASE_AWAY = (DatabaseError, InterfaceError)
MARK_PAUSES_S = (0.1, 1.0, 5.0, 30.0)

logger = logging.getLogger("shoprepair.shop.outbox")


def run(*, stop: threading.Event, pause_s: float = PAUSE_S, timeout_s: float = ANSWER_S) -> None:
    """Send what is due, wait, begin again, until `stop` is set; a letter begun is brought to its end.

    Between letters it does what is to be done once a day, and what takes long a little at a time. A database
    that is locked or away is waited for.
    """
    look_again_at = time.monotonic()
    while not stop.is_set():
        more = False
        heartbeat.beat()
        if damaged.why():
            # Nothing is written to it, and so no letter is sent that could not be marked as sent.
            stop.wait(pause_s)
            continue
        try:
            send_due(stop=stop, timeout_s=timeout_s)
            if not stop.is_set() and time.monotonic() >= look_again_at:
                look_again_at = time.monotonic() + DUTIES_S
                waiting.bring_all()
                daily.run_due()
                more = daily.look_after()
        except DATABASE_AWAY as error:
            logger.warning("The database cannot be used, trying again: %s", error)
        close_old_connections()
        if more:
            look_again_at = time.monotonic()
            continue
        stop.wait(pause_s)


def send_due(*, stop: threading.Event | None = None, timeout_s: float = ANSWER_S) -> int:
    """Try every letter that is due, each once; answers how many. None while no letter can leave.

    1. Letters that another worker left behind become unsure.
    2. The next due letter is claimed: whoever turns it from waiting to being sent has it.
    3. It is told to the server, outside of any transaction, and what came of it is written down.
    """
    _give_up_left_behind()
    tried = 0
    while not (stop and stop.is_set()):
        shop = settings.current()
        if server.obstacle(shop) or (letter := claim()) is None:
            break
        _mark(letter, _attempt_safely(letter, shop, timeout_s), stop)
        heartbeat.beat()
        tried += 1
    return tried


def claim() -> Letter | None:
    """The next due letter, now being sent by this worker and no other; None when none is due."""
    now = timezone.now()
    while (pk := due().values_list("pk", flat=True).first()) is not None:
        taken = Letter.objects.filter(pk=pk, state=State.WAITING).update(
            state=State.SENDING, claimed_at=now, tries=F("tries") + 1
        )
        if taken:
            return Letter.objects.get(pk=pk)
    return None


def due() -> QuerySet[Letter]:
    """The letters to be tried now, the longest due first."""
    # Written out, so that the index of waiting letters serves: it has the same words.
    waiting = Letter.objects.extra(where=["state = 'waiting'"])
    return waiting.filter(next_try_at__lte=timezone.now()).order_by("next_try_at", "id")


def attempt(letter: Letter, shop: Shop, to: MailServer, *, timeout_s: float) -> Outcome:
    """Tell one letter to the server."""
    if wrong := address_trouble(letter.to):
        return Outcome(State.FAILED, wrong)
    try:
        envelope = Envelope(wire_address(shop.email), wire_address(letter.to), build(letter, shop))
    except ValueError as error:
        return Outcome(
            State.FAILED, (gettext("it could not be put into an e-mail: %(error)s") % {"error": error})[:300]
        )
    return deliver(envelope, to, timeout_s=timeout_s)


def _attempt_safely(letter: Letter, shop: Shop, timeout_s: float) -> Outcome:
    """As `attempt`; a fault of the program itself leaves one letter unsure, and the worker alive."""
    try:
        return attempt(letter, shop, server.current(), timeout_s=timeout_s)
    except Exception as error:
        # Without the error's own words, which may hold the address.
        where = "".join(traceback.format_tb(error.__traceback__))
        logger.error("Letter %d met %s\n%s", letter.pk, type(error).__name__, where)
        return Outcome(
            State.UNSURE, gettext("the program failed over it (%(name)s)") % {"name": type(error).__name__}
        )


@dataclass(frozen=True, slots=True)
class Standing:
    """How the outbox stands."""

    obstacle: str
    """Why no letter can leave, as the rest of a sentence; empty when they can."""
    server_set: bool
    """Whether there is a mail server: no page compares the obstacle's words, which somebody reads."""
    waiting: int
    since: datetime | None
    """When the first of those that wait was written."""
    failed: int
    unsure: int
    asleep: bool
    """Whether letters could leave but none is sending them."""


def standing(shop: Shop) -> Standing:
    """How many letters wait, failed or may have arrived, and whether they leave at all."""
    # Those that left are many, and nobody asks how many.
    here = Letter.objects.filter(state__in=(State.WAITING, State.SENDING, State.FAILED, State.UNSURE))
    rows = here.order_by("state").values_list("state").annotate(n=Count("*"), first=Min("written_at"))
    counts = dict.fromkeys(State.values, 0) | {state: n for state, n, _ in rows}
    late = timezone.now() - schedule.LEASE
    obstacle = server.obstacle(shop)
    return Standing(
        obstacle=obstacle,
        server_set=server.is_set(),
        waiting=counts[State.WAITING] + counts[State.SENDING],
        since=min((at for state, _, at in rows if state in (State.WAITING, State.SENDING)), default=None),
        failed=counts[State.FAILED],
        unsure=counts[State.UNSURE],
        asleep=not obstacle and due().filter(next_try_at__lt=late).exists(),
    )


def stuck() -> QuerySet[Letter]:
    """The letters that somebody should look at, newest first: not sent, perhaps sent, or tried in vain."""
    tried = Q(state=State.WAITING) & ~Q(last_error="")
    return Letter.objects.filter(Q(state__in=(State.FAILED, State.UNSURE)) | tried).order_by("-id")


def _give_up_left_behind() -> None:
    late = timezone.now() - schedule.LEASE
    for letter in Letter.objects.filter(state=State.SENDING, claimed_at__lt=late):
        _mark(letter, Outcome(State.UNSURE, LEFT_BEHIND), None)


def _mark(letter: Letter, outcome: Outcome, stop: threading.Event | None) -> None:
    """Write down what came of a try, waiting for the database if need be.

    A letter whose mark is lost stays claimed and becomes unsure: it is never sent twice.
    """
    for pause_s in MARK_PAUSES_S:
        try:
            return _write_down(letter, outcome)
        except DATABASE_AWAY as error:
            logger.warning("Letter %d could not be marked, trying again: %s", letter.pk, error)
            close_old_connections()
            (stop or threading.Event()).wait(pause_s)
    return _write_down(letter, outcome)


def _write_down(letter: Letter, outcome: Outcome) -> None:
    now, state, again = timezone.now(), outcome.state, None
    if state == State.WAITING:
        again = schedule.next_try(now, letter.tries, letter.give_up_at)
        state = State.WAITING if again else State.FAILED
    fields = {
        "state": state,
        "last_error": outcome.words[:300],
        "sent_at": now if state == State.SENT else None,
        "next_try_at": again or letter.next_try_at,
        "claimed_at": None if again else letter.claimed_at,
    }
    # Unsure too: whoever called it unsure, this worker knows better.
    mine = Letter.objects.filter(pk=letter.pk, claimed_at=letter.claimed_at)
    if mine.filter(state__in=(State.SENDING, State.UNSURE)).update(**fields):
        logger.info("Letter %d (%s, %s): %s", letter.pk, letter.code, letter.about, state)
