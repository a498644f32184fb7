"""What becomes of a letter for everything that a mail server may do to it."""

import ssl
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from shoprepair.shop import outbox
from shoprepair.shop.models import Letter
from shoprepair.shop.outbox import worker
from tests.shop.post_office import DIES, HANGS, PostOffice, closed_port

State = Letter.State
Write = Callable[..., Letter]


def try_once(letter: Letter, timeout_s: float = 20) -> Letter:
    worker.send_due(timeout_s=timeout_s)
    letter.refresh_from_db()
    return letter


def make_due(letter: Letter) -> None:
    letter.next_try_at = letter.written_at
    letter.save(update_fields=("next_try_at",))


def test_a_letter_is_sent_and_says_when(post_office: PostOffice, write: Write) -> None:
    letter = try_once(write())

    assert letter.state == State.SENT
    assert letter.sent_at is not None
    assert letter.last_error == ""
    assert post_office.deliveries() == {letter.message_id: 1}
    assert post_office.receivers == ["ida@lee.example"]


def test_lines_that_begin_with_a_dot_arrive_whole(post_office: PostOffice, write: Write) -> None:
    letter = write()
    letter.body = ".\n..\n.hidden\nFrom the loft\n.\n"
    letter.save()
    try_once(letter)

    (message,) = post_office.kept
    assert message.get_payload(decode=True).decode().replace("\r\n", "\n") == letter.body


def test_a_sent_letter_is_never_taken_up_again(post_office: PostOffice, write: Write) -> None:
    letter = try_once(write())
    make_due(letter)
    try_once(letter)

    assert post_office.deliveries() == {letter.message_id: 1}


@pytest.mark.parametrize(
    ("moment", "does"),
    [
        ("greeting", DIES),
        ("greeting", "421 too busy"),
        ("greeting", "554 no service here"),
        ("ehlo", DIES),
        ("ehlo", "421 too busy"),
        ("mail", "451 later"),
        ("mail", DIES),
        ("mail", "553 not from you"),
        ("rcpt", "421 closing"),
        ("rcpt", "450 mailbox busy"),
        ("rcpt", DIES),
        ("data", "451 later"),
        ("data", DIES),
        ("end", "451 the disk is full"),
    ],
)
def test_what_the_server_surely_did_not_take_waits_and_arrives_once(
    post_office: PostOffice, write: Write, moment: str, does: str
) -> None:
    post_office.cue(moment, does)
    letter = try_once(write())

    assert letter.state == State.WAITING
    assert letter.next_try_at > letter.written_at
    assert letter.last_error
    assert letter.claimed_at is None
    assert post_office.deliveries() == {}

    make_due(letter)
    assert try_once(letter).state == State.SENT
    assert post_office.deliveries() == {letter.message_id: 1}


def test_a_line_that_breaks_in_the_middle_of_the_data_keeps_the_letter_waiting(
    post_office: PostOffice, write: Write
) -> None:
    post_office.cue("middle", DIES)
    letter = write()
    letter.body = "far more than a socket holds back\n" * 500_000
    letter.save()

    assert try_once(letter).state == State.WAITING
    assert letter.last_error == "the mail server did not answer"


def test_a_short_letter_may_be_out_before_the_break_is_seen_so_nobody_knows(
    post_office: PostOffice, write: Write
) -> None:
    post_office.cue("middle", DIES)

    assert try_once(write()).state in {State.WAITING, State.UNSURE}
    assert post_office.deliveries() == {}


@pytest.mark.parametrize("moment", ["greeting", "ehlo", "mail", "rcpt", "data"])
def test_a_server_that_hangs_before_the_data_keeps_the_letter_waiting(
    post_office: PostOffice, write: Write, moment: str
) -> None:
    post_office.cue(moment, HANGS)
    letter = try_once(write(), timeout_s=0.2)

    assert letter.state == State.WAITING
    assert letter.last_error == "the mail server did not answer"


@pytest.mark.parametrize("moment", ["rcpt", "data", "end"])
def test_a_letter_that_is_refused_for_good_fails_at_once_in_the_servers_words(
    post_office: PostOffice, write: Write, moment: str
) -> None:
    post_office.cue(moment, "550 5.1.1 no such mailbox")
    letter = try_once(write())

    assert letter.state == State.FAILED
    assert letter.last_error == "the mail server answered “550 5.1.1 no such mailbox”"
    assert post_office.deliveries() == {}


@pytest.mark.parametrize("does", [DIES, HANGS, "no answer at all", "299 perhaps", "354 go on", "600 odd"])
def test_a_letter_whose_end_is_never_answered_is_unsure_and_never_sent_by_itself(
    post_office: PostOffice, write: Write, does: str
) -> None:
    post_office.cue("taken", does)
    letter = try_once(write(), timeout_s=0.5 if does == HANGS else 20)

    assert letter.state == State.UNSURE
    make_due(letter)
    assert try_once(letter).state == State.UNSURE
    assert post_office.deliveries() == {letter.message_id: 1}
    assert post_office.connections == 1


def test_the_second_of_two_copies_can_be_told_by_its_identity(
    post_office: PostOffice, write: Write, counter: Any
) -> None:
    post_office.cue("taken", DIES)
    letter = try_once(write())
    outbox.send_again(letter, who=counter)
    assert try_once(letter).state == State.SENT
    assert post_office.deliveries() == {letter.message_id: 2}


def test_a_server_that_refuses_the_line_keeps_the_letter_waiting(write: Write, settings: Any) -> None:
    held, settings.EMAIL_PORT = closed_port()
    settings.EMAIL_HOST = "127.0.0.1"
    with held:
        letter = try_once(write())

    assert letter.state == State.WAITING
    assert letter.last_error == "the mail server refused the connection"


def test_a_server_of_no_known_name_keeps_the_letter_waiting(write: Write, settings: Any) -> None:
    settings.EMAIL_HOST, settings.EMAIL_PORT = "mail.invalid", 25
    letter = try_once(write())

    assert letter.state == State.WAITING
    assert letter.last_error == "the mail server's name was not found"


def test_one_hopeless_letter_does_not_keep_the_next_from_leaving(
    post_office: PostOffice, write: Write
) -> None:
    post_office.cue("rcpt", "550 no such mailbox")
    first, second = write("nobody@lee.example"), write()
    worker.send_due()

    assert [try_once(first).state, try_once(second).state] == [State.FAILED, State.SENT]


def test_without_a_mail_server_letters_wait_untouched(write: Write) -> None:
    letter = try_once(write())

    assert (letter.state, letter.tries) == (State.WAITING, 0)


def test_without_an_address_of_its_own_the_shop_sends_nothing(
    post_office: PostOffice, shop: Any, write: Write
) -> None:
    shop.email = ""
    shop.save()
    letter = try_once(write())

    assert (letter.state, letter.tries) == (State.WAITING, 0)
    assert post_office.connections == 0


def test_letters_may_be_printed_instead(write: Write, settings: Any, capsys: Any) -> None:
    settings.LETTERS_ON_CONSOLE = True
    letter = try_once(write())

    assert letter.state == State.SENT
    assert f"Message-ID: {letter.message_id}" in capsys.readouterr().out


def test_a_server_without_encryption_gets_no_letter_that_must_be_encrypted(
    post_office: PostOffice, write: Write, settings: Any
) -> None:
    settings.EMAIL_USE_TLS = True
    letter = try_once(write())

    assert letter.state == State.WAITING
    assert "does not offer the encryption" in letter.last_error


@pytest.fixture
def certificate(tmp_path: Path) -> tuple[Path, Path]:
    """A certificate for this machine, signed by nobody, and its key."""
    key, certificate = tmp_path / "key.pem", tmp_path / "certificate.pem"
    ask = "req -x509 -newkey ec -pkeyopt ec_paramgen_curve:prime256v1 -nodes -days 2 -subj /CN=localhost"
    names = ["-addext", "subjectAltName=IP:127.0.0.1"]
    try:
        subprocess.run(
            ["openssl", *ask.split(), *names, "-keyout", key, "-out", certificate],
            check=True,
            capture_output=True,
        )
    except FileNotFoundError:
        pytest.skip("openssl is not installed")
    return certificate, key


def encrypted(certificate: tuple[Path, Path]) -> ssl.SSLContext:
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(*certificate)
    return context


def test_a_trusted_server_is_logged_in_to_and_gets_the_letter_encrypted(
    certificate: tuple[Path, Path], write: Write, settings: Any, monkeypatch: Any
) -> None:
    monkeypatch.setenv("SSL_CERT_FILE", str(certificate[0]))
    with PostOffice(encrypted(certificate)) as office:
        settings.EMAIL_HOST, settings.EMAIL_PORT, settings.EMAIL_USE_TLS = "127.0.0.1", office.port, True
        settings.EMAIL_HOST_USER, settings.EMAIL_HOST_PASSWORD = "shop", "a tube wants air"
        letter = try_once(write())

    assert letter.state == State.SENT
    assert office.log_ins == [("shop", "a tube wants air")]
    assert office.deliveries() == {letter.message_id: 1}


def test_a_line_may_be_encrypted_from_the_first_byte(
    certificate: tuple[Path, Path], write: Write, settings: Any, monkeypatch: Any
) -> None:
    monkeypatch.setenv("SSL_CERT_FILE", str(certificate[0]))
    with PostOffice(encrypted(certificate), from_the_first_byte=True) as office:
        settings.EMAIL_HOST, settings.EMAIL_PORT, settings.EMAIL_USE_SSL = "127.0.0.1", office.port, True
        letter = try_once(write())

    assert letter.state == State.SENT
    assert office.deliveries() == {letter.message_id: 1}


def test_a_wrong_log_in_keeps_the_letter_waiting(
    certificate: tuple[Path, Path], write: Write, settings: Any, monkeypatch: Any
) -> None:
    monkeypatch.setenv("SSL_CERT_FILE", str(certificate[0]))
    with PostOffice(encrypted(certificate)) as office:
        settings.EMAIL_HOST, settings.EMAIL_PORT, settings.EMAIL_USE_TLS = "127.0.0.1", office.port, True
        settings.EMAIL_HOST_USER, settings.EMAIL_HOST_PASSWORD = "shop", "wrong"
        letter = try_once(write())

    assert letter.state == State.WAITING
    assert letter.last_error == "the mail server refused the shop's log-in"


def test_a_server_that_nobody_vouches_for_gets_neither_log_in_nor_letter(
    certificate: tuple[Path, Path], write: Write, settings: Any
) -> None:
    with PostOffice(encrypted(certificate)) as office:
        settings.EMAIL_HOST, settings.EMAIL_PORT, settings.EMAIL_USE_TLS = "127.0.0.1", office.port, True
        settings.EMAIL_HOST_USER, settings.EMAIL_HOST_PASSWORD = "shop", "a tube wants air"
        letter = try_once(write())

    assert letter.state == State.WAITING
    assert letter.last_error == "the mail server's certificate does not hold"
    assert office.log_ins == []
    assert office.deliveries() == {}


def test_the_log_names_letters_but_no_addresses_and_no_links(
    post_office: PostOffice, write: Write, caplog: Any
) -> None:
    caplog.set_level("DEBUG", logger="shoprepair")
    post_office.cue("rcpt", "550 no such mailbox: ida@lee.example")
    letter = write()
    write("tomas@lee.example")
    worker.send_due()

    ours = [record.getMessage() for record in caplog.records if record.name.startswith("shoprepair")]
    assert ours[0] == f"Letter {letter.pk} (quote-out, job:412): failed"
    assert len(ours) == 2
    assert not any("@" in line or "http" in line for line in ours)
