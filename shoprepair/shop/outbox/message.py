"""A letter as the bytes that travel: plain text, UTF-8, one identity for every try."""

from email import policy
from email.charset import QP, Charset
from email.header import Header
from email.mime.text import MIMEText
from email.utils import format_datetime, formataddr

from django.utils.translation import gettext

from shoprepair.shop.models import Letter, Shop
from shoprepair.shop.outbox.wording import one_line

# Python 3.11's newer policies fold long names with commas wrongly; the old one does not.
WIRE = policy.compat32.clone(linesep="\r\n", mangle_from_=False)


def build(letter: Letter, shop: Shop) -> bytes:
    """The letter from the shop to its receiver, lines ended by CR LF.

    Raises ValueError for an address that cannot be written on the wire.
    """
    utf_8 = Charset("utf-8")
    utf_8.header_encoding = utf_8.body_encoding = QP
    message = MIMEText(letter.body, "plain", utf_8)  # type: ignore[arg-type]
    sender = formataddr((_encoded(one_line(shop.name)), wire_address(shop.email)))
    message["From"] = message["Reply-To"] = sender
    message["To"] = wire_address(letter.to)
    message["Subject"] = _encoded(one_line(letter.subject))
    message["Date"] = format_datetime(letter.written_at)
    message["Message-ID"] = letter.message_id
    message["Auto-Submitted"] = "auto-generated"
    return message.as_bytes(policy=WIRE)


def wire_address(address: str) -> str:
    """The address with its domain in ASCII letters. ValueError where that cannot be done."""
    name, _, domain = one_line(address).rpartition("@")
    if not name.isascii():
        raise ValueError(gettext("letters before the @ that mail servers do not take"))
    return f"{name}@{domain.encode('idna').decode('ascii')}"


def _encoded(text: str) -> str:
    return text if text.isascii() else Header(text, "utf-8").encode()
