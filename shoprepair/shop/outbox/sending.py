"""One letter told to a mail server, knowing at every moment whether the server may have taken it.

RFC 5321: a server has taken a letter when it answers the end of the data (4.1.1.4). Until that end
is transmitted it has nothing, so the letter may be tried again; once it is, a missing answer leaves
nobody knowing, and a second try could be a second letter.
"""

import contextlib
import re
import smtplib
import socket
import ssl
import sys
from dataclasses import dataclass
from typing import NoReturn

from django.core.mail.utils import DNS_NAME
from django.utils.translation import gettext

from shoprepair.mail_url import MailServer
from shoprepair.shop.models import Letter
from shoprepair.shop.outbox.wording import one_line

State = Letter.State

LONGEST_WORDS = 200
DATA_END = b".\r\n"
OK, START_OF_DATA = 250, 354


@dataclass(frozen=True, slots=True)
class Envelope:
    """What is told to the server: from whom, to whom (addresses in ASCII), and the letter itself."""

    sender: str
    receiver: str
    data: bytes


@dataclass(frozen=True, slots=True)
class Outcome:
    """Where a try left the letter, with the reason in words unless it was sent."""

    state: Letter.State
    words: str = ""


class _Refused(Exception):
    def __init__(self, outcome: Outcome) -> None:
        self.outcome = outcome


def deliver(envelope: Envelope, server: MailServer, *, timeout_s: float) -> Outcome:
    """Send one letter. Never raises for what a server or the line to it may do.

    1. Whatever goes wrong before the data's end was transmitted: waiting, to be tried again.
    2. A 5xx answer to the receiver, to DATA or to its end: failed, with the server's words.
    3. The data's end transmitted and no answer that can be read: unsure.

    `timeout_s` is how long each single answer may take, in seconds.
    """
    if server.console:
        return _print(envelope)
    smtp = None
    try:
        smtp = _open(server, timeout_s)
        _hand_over(smtp, envelope)
        return _end(smtp)
    except _Refused as refused:
        return refused.outcome
    except (OSError, smtplib.SMTPException) as error:
        return Outcome(State.WAITING, _reason(error))
    finally:
        if smtp is not None:
            _leave(smtp)


def _open(server: MailServer, timeout_s: float) -> smtplib.SMTP:
    """A line to the server, greeted, encrypted and logged in as the settings ask."""
    name = DNS_NAME.get_fqdn()
    smtp: smtplib.SMTP
    if server.ssl:
        context = ssl.create_default_context()
        smtp = smtplib.SMTP_SSL(server.host, server.port, name, timeout=timeout_s, context=context)
    else:
        smtp = smtplib.SMTP(server.host, server.port, name, timeout=timeout_s)
    try:
        if server.tls:
            smtp.starttls(context=ssl.create_default_context())
        smtp.ehlo_or_helo_if_needed()
        if server.user:
            smtp.login(server.user, server.password)
    except BaseException:
        smtp.close()
        raise
    return smtp


def _hand_over(smtp: smtplib.SMTP, envelope: Envelope) -> None:
    """Tell the server everything but the end of the data."""
    code, words = smtp.mail(envelope.sender)
    if code != OK:
        # The shop's own address or log-in is at fault: what mends it is not this letter.
        raise _Refused(Outcome(State.WAITING, _answered(code, words)))
    code, words = smtp.rcpt(envelope.receiver)
    if not OK <= code <= OK + 1:
        _refuse(code, words)
    code, words = smtp.docmd("DATA")
    if code != START_OF_DATA:
        _refuse(code, words)
    smtp.send(_stuffed(envelope.data))


def _end(smtp: smtplib.SMTP) -> Outcome:
    """Transmit the end of the data and hear whether the server took the letter."""
    try:
        smtp.send(DATA_END)
        code, words = smtp.getreply()
    except (OSError, smtplib.SMTPException):
        return Outcome(State.UNSURE, gettext("the line broke while it was being sent"))
    if code == OK:
        return Outcome(State.SENT)
    if 400 <= code <= 599:
        return _not_taken(code, words)
    return Outcome(State.UNSURE, _answered(code, words))


def _stuffed(data: bytes) -> bytes:
    """The data with a dot doubled where it begins a line, ended by CR LF (RFC 5321, 4.5.2)."""
    doubled = re.sub(rb"(?m)^\.", b"..", data)
    return doubled if doubled.endswith(b"\r\n") else doubled + b"\r\n"


def _leave(smtp: smtplib.SMTP) -> None:
    with contextlib.suppress(OSError, smtplib.SMTPException):
        smtp.quit()
    smtp.close()


def _refuse(code: int, words: bytes) -> NoReturn:
    raise _Refused(_not_taken(code, words))


def _not_taken(code: int, words: bytes) -> Outcome:
    return Outcome(State.FAILED if code >= 500 else State.WAITING, _answered(code, words))


def _answered(code: int, words: bytes) -> str:
    said = one_line(words.decode("utf-8", "replace"))[:LONGEST_WORDS]
    return gettext("the mail server answered “%(code)s %(said)s”") % {"code": code, "said": said}


def _reason(error: Exception) -> str:
    """What went wrong before the server could take the letter, in words."""
    if isinstance(error, smtplib.SMTPAuthenticationError):
        return gettext("the mail server refused the shop's log-in")
    if isinstance(error, smtplib.SMTPResponseException):
        words = error.smtp_error
        return _answered(error.smtp_code, words if isinstance(words, bytes) else str(words).encode())
    if isinstance(error, smtplib.SMTPNotSupportedError) or type(error) is smtplib.SMTPException:
        return gettext("the mail server does not offer the encryption or the log-in that is set")
    if isinstance(error, ssl.SSLCertVerificationError):
        return gettext("the mail server's certificate does not hold")
    if isinstance(error, socket.gaierror):
        return gettext("the mail server's name was not found")
    if isinstance(error, ConnectionRefusedError):
        return gettext("the mail server refused the connection")
    return gettext("the mail server did not answer")


def _print(envelope: Envelope) -> Outcome:
    sys.stdout.write(envelope.data.decode("utf-8") + "\n")
    sys.stdout.flush()
    return Outcome(State.SENT)
