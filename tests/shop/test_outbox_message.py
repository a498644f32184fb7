"""A letter as it travels: one set of headers whatever names hold, plain text that comes out as it went in."""

import datetime
from email import message_from_bytes, policy
from email.message import EmailMessage
from email.utils import parseaddr
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from shoprepair.shop.models import Letter, Shop
from shoprepair.shop.outbox.message import build, wire_address
from shoprepair.shop.outbox.wording import cleaned, one_line

WRITTEN = datetime.datetime(2026, 11, 25, 12, 0, tzinfo=datetime.UTC)
HEADERS = [
    "Content-Type",
    "MIME-Version",
    "Content-Transfer-Encoding",
    "From",
    "Reply-To",
    "To",
    "Subject",
    "Date",
    "Message-ID",
    "Auto-Submitted",
]


def built(
    subject: str = "The quote", body: str = "Hello.\n", shop: str = "North Quay", **fields: Any
) -> bytes:
    letter = Letter(
        to=fields.get("to", "ida@lee.example"),
        subject=subject,
        body=body,
        message_id="<1@northquay.example>",
        written_at=WRITTEN,
    )
    return build(letter, Shop(name=shop, email=fields.get("email", "loft@northquay.example")))


def read(data: bytes) -> EmailMessage:
    return message_from_bytes(data, policy=policy.default)


def test_a_letter_carries_who_wrote_it_when_and_that_a_program_did() -> None:
    message = read(built())

    assert message["From"] == message["Reply-To"] == "North Quay <loft@northquay.example>"
    assert message["To"] == "ida@lee.example"
    assert message["Date"] == "Wed, 25 Nov 2026 12:00:00 +0000"
    assert message["Message-ID"] == "<1@northquay.example>"
    assert message["Auto-Submitted"] == "auto-generated"
    assert message.get_content_type() == "text/plain"
    assert message.get_content_charset() == "utf-8"
    assert message["Content-Transfer-Encoding"] == "quoted-printable"


def test_every_try_is_the_same_to_the_last_byte() -> None:
    assert built() == built()


@given(st.text(max_size=120), st.text(max_size=250))
@example(shop='Söhne, Müller & Co. (since "1990") <x@y>', subject="a")
@example(shop="أشرعة الرصيف الشمالي", subject="أهلا وسهلا")
@example(shop="a\r\nBcc: all@lee.example", subject="b\nBcc: all@lee.example\n\nbody")
@example(shop="名" * 120, subject="=?utf-8?q?=0ABcc=3A?= all@lee.example")
def test_no_name_and_no_subject_can_write_a_header(shop: str, subject: str) -> None:
    data = built(subject=subject, shop=shop)
    message = read(data)

    assert message.keys() == HEADERS
    assert parseaddr(str(message["From"]))[1] == "loft@northquay.example"
    assert len(message["From"].addresses) == 1
    assert data.isascii()
    assert max(map(len, data.split(b"\r\n"))) <= 998
    assert b"\n" not in data.replace(b"\r\n", b"")


@given(st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), max_size=200))
def test_a_subject_arrives_as_it_was_written(subject: str) -> None:
    # A word that looks encoded is one to every reader of mail.
    if "=?" not in subject:
        assert " ".join(str(read(built(subject=subject))["Subject"]).split()) == one_line(subject)


@given(st.text(max_size=2000))
@example("From the loft\n.\n..\nFrom here\n" + "x" * 3000)
def test_a_letter_arrives_as_it_was_written(body: str) -> None:
    written = cleaned(body).strip() + "\n"

    assert read(built(body=written)).get_content().replace("\r\n", "\n") == written


def test_a_domain_of_other_letters_is_written_as_the_wire_wants_it() -> None:
    message = read(built(to="ida@bücher.example", email="loft@münchen.example"))

    assert message["To"] == "ida@xn--bcher-kva.example"
    assert message["From"].addresses[0].addr_spec == "loft@xn--mnchen-3ya.example"


@pytest.mark.parametrize("address", ["ïda@lee.example", f"ida@{'x' * 64}.example"])
def test_an_address_that_no_wire_carries_is_refused(address: str) -> None:
    with pytest.raises(ValueError, match=r"before the @|label"):
        wire_address(address)
