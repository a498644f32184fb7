"""Letters as the rest of the program meets them: written, listed, sent again, cancelled."""

import uuid
from collections.abc import Callable, Mapping

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db import transaction
from django.db.models import Model
from django.utils import timezone, translation

from shoprepair.shop import journal, settings
from shoprepair.shop.languages import in_a_sentence
from shoprepair.shop.models import Letter, Shop, Staff
from shoprepair.shop.outbox import schedule, server, texts
from shoprepair.shop.outbox.wording import one_line
from shoprepair.shop.said import gettext

State = Letter.State

MAY_GO_AGAIN = (State.UNSURE, State.FAILED)
MAY_BE_CANCELLED = (State.WAITING, State.UNSURE, State.FAILED)
LONGEST_DOMAIN = 80
LONGEST_SUBJECT = 250
LONGEST_ADDRESS = 254
TO_THE_OWNER = "to-the-owner"
"""Code of what the program itself has to say; nobody words it anew."""


class NotPossible(ValueError):
    """The letter's state does not allow it (any more); the message is one sentence."""


Filling = Mapping[str, str]


def write(to: str, code: str, context: Filling | Callable[[], Filling], *, about: Model | str) -> Letter:
    """Put a letter into the outbox, in the shop's language and the caller's transaction.

    `context` fills the text's placeholders, all of them but `shop`, or says them once that language is
    spoken; raises ValueError naming those that are missing. An address that is none writes a letter that
    stands as not sent: a customer's typing slip must not undo the change that the letter tells of.
    """
    shop = settings.current()
    with translation.override(shop.language):
        filling = context() if callable(context) else context
        subject, body = texts.render(code, {"shop": shop.name, **filling})
    return _put(shop, to, code, subject, body, about)


def tell_owner(subject: str, body: str, *, about: str) -> Letter | None:
    """Write to the shop's own address, in the caller's transaction; None where no letter can leave."""
    shop = settings.current()
    if server.obstacle(shop):
        return None
    return _put(shop, shop.email, TO_THE_OWNER, one_line(subject), body, about)


def _put(shop: Shop, to: str, code: str, subject: str, body: str, about: Model | str) -> Letter:
    to, now = one_line(to), timezone.now()
    wrong = address_trouble(to)
    return Letter.objects.create(
        about=journal.subject_of(about),
        code=code,
        to=to[:LONGEST_ADDRESS],
        subject=subject[:LONGEST_SUBJECT],
        body=body,
        message_id=_message_id(shop),
        state=State.FAILED if wrong else State.WAITING,
        last_error=wrong,
        written_at=now,
        next_try_at=now,
        give_up_at=now + schedule.GIVE_UP_AFTER,
    )


def letters(about: Model | str) -> list[Letter]:
    """The letters about a record, newest first."""
    return list(Letter.objects.filter(about=journal.subject_of(about)).order_by("-id"))


def send_again(letter: Letter, *, who: Staff) -> Letter:
    """Let a letter that failed, or that nobody knows to have arrived, be sent anew, for another 48 hours.

    Raises NotPossible when it is in any other state.
    """
    now = timezone.now()
    fields = {
        "state": State.WAITING,
        "tries": 0,
        "last_error": "",
        "claimed_at": None,
        "next_try_at": now,
        "give_up_at": now + schedule.GIVE_UP_AFTER,
    }
    return _change(letter, MAY_GO_AGAIN, fields, "letter.again", gettext("is to be sent again"), who)


def cancel(letter: Letter, *, who: Staff) -> Letter:
    """Let a letter that waits, failed or may have arrived not be sent (again).

    Raises NotPossible when it is in any other state.
    """
    fields = {"state": State.CANCELLED}
    return _change(letter, MAY_BE_CANCELLED, fields, "letter.cancelled", gettext("is not to be sent"), who)


def overtaken(about: Model | str, code: str) -> None:
    """What letters of this kind ask is answered meanwhile: those that still wait are not sent."""
    waiting = Letter.objects.filter(about=journal.subject_of(about), code=code, state=State.WAITING)
    waiting.update(state=State.CANCELLED)


def take_up(letter: Letter, *, who: Staff) -> Letter:
    """Undo `cancel`: it waits as before, or where it was tried already stands for somebody to look at.

    Raises NotPossible when it is in any other state, or its words are gone.
    """
    now = timezone.now()
    fields: dict[str, object] = {"state": State.UNSURE if letter.tries else State.WAITING}
    fields |= {"claimed_at": None, "next_try_at": now, "give_up_at": now + schedule.GIVE_UP_AFTER}
    allowed = (State.CANCELLED,) if letter.to and letter.body else ()
    return _change(
        letter, allowed, fields, "letter.taken-up", gettext("is no longer kept from being sent"), who
    )


def address_trouble(address: str) -> str:
    """What is wrong with an e-mail address, in words; empty when it can be written to."""
    try:
        validate_email(address)
    except ValidationError:
        return gettext("“%(address)s” is not an e-mail address") % {"address": address[:120]}
    return "" if len(address) <= LONGEST_ADDRESS else gettext("an e-mail address has 254 characters at most")


def _change(
    letter: Letter, allowed: tuple[State, ...], fields: Mapping[str, object], verb: str, text: str, who: Staff
) -> Letter:
    with transaction.atomic():
        if not Letter.objects.filter(pk=letter.pk, state__in=allowed).update(**fields):
            letter.refresh_from_db()
            raise NotPossible(
                gettext("The letter is already in another state: %(lower)s.")
                % {"lower": in_a_sentence(letter.get_state_display())}
            )
        journal.record(
            letter.about,
            verb,
            gettext("The letter “%(subject)s” %(text)s.") % {"subject": letter.subject, "text": text},
            who=who,
        )
    letter.refresh_from_db()
    return letter


def _message_id(shop: Shop) -> str:
    """An identity of its own under the shop's domain; a receiver that gets it twice can tell."""
    domain = shop.email.rpartition("@")[2]
    try:
        domain = domain.encode("idna").decode("ascii")
    except UnicodeError:
        domain = ""
    if not 0 < len(domain) <= LONGEST_DOMAIN:
        domain = "shop.invalid"
    return f"<{uuid.uuid4().hex}@{domain}>"
