"""A letter's state as people read it."""

import datetime

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.shop.models import Letter

State = Letter.State


def say_state(letter: Letter, obstacle: str = "") -> str:
    """Where the letter stands and why; `obstacle` is what keeps all letters from leaving, if anything."""
    if letter.state == State.WAITING:
        return _say_waiting(letter, obstacle)
    if letter.state == State.SENT:
        return (
            gettext("sent %(sent_at)s") % {"sent_at": _moment(letter.sent_at)}
            if letter.sent_at
            else gettext("sent")
        )
    if letter.state == State.SENDING:
        return gettext("being sent")
    if letter.state == State.UNSURE:
        return _because(gettext("perhaps sent"), _why(letter))
    if letter.state == State.FAILED:
        return _because(gettext("not sent"), _why(letter))
    return (
        gettext("perhaps sent once, not to be sent again") if letter.claimed_at else gettext("not to be sent")
    )


def _say_waiting(letter: Letter, obstacle: str) -> str:
    if obstacle:
        return gettext("waiting: %(obstacle)s") % {"obstacle": obstacle}
    if not letter.last_error:
        return gettext("waiting to be sent")
    return gettext("waiting: %(last_error)s, next try %(next_try_at)s") % {
        "last_error": _why(letter),
        "next_try_at": _moment(letter.next_try_at),
    }


def _why(letter: Letter) -> str:
    """What went wrong, in the reader's language where the program said it, else as the mail server did."""
    return gettext(letter.last_error) if letter.last_error else ""


def _because(what: str, why: str) -> str:
    return f"{what}: {why}" if why else what


def _moment(at: datetime.datetime) -> str:
    """The time of day, with the day before it unless that is today."""
    there = timezone.localtime(at)
    clock = date_format(there, "H:i")
    return clock if there.date() == timezone.localdate() else f"{date_format(there, 'j M')} {clock}"
