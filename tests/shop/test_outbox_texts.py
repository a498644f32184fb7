"""The wording of the letters: what can be taken, what is filled in, and nobody's change lost."""

import threading

import pytest
from django.db import connection

from shoprepair.shop.changes import ChangedMeanwhile
from shoprepair.shop.models import JournalEntry, MailText, Staff
from shoprepair.shop.outbox import texts
from shoprepair.shop.outbox.texts import TextRefused
from tests.factories import StaffFactory

pytestmark = pytest.mark.django_db


def test_the_letters_are_known_by_their_codes() -> None:
    assert [*texts.TEXTS] == [
        "quote-out",
        "quote-replaced",
        "addition-out",
        "addition-agreed",
        "question-answered",
        "go-ahead-received",
        "claim-decided",
        "ready",
        "transfer-offered",
        "transfer-done",
        "enquiry-received",
        "enquiry-received-de",
        "enquiry-received-es",
    ]
    assert all(text.code == code for code, text in texts.TEXTS.items())


@pytest.mark.parametrize("code", texts.TEXTS)
def test_every_letter_can_say_whose_gear_and_where_to_look(code: str) -> None:
    text = texts.TEXTS[code]

    # Who enquires from outside may give anybody's address: that letter says nothing that they wrote.
    theirs = set() if code.startswith("enquiry-") else {"customer", "gear"}
    assert {"shop", "link"} | theirs <= set(text.placeholders) <= set(texts.SAMPLES)
    # Gear changes hands in no visit.
    assert ("job" in text.placeholders) != code.startswith("transfer-")
    assert "{link}" in text.body
    texts.check(code, text.subject, text.body)


@pytest.mark.parametrize(
    ("subject", "body", "field", "sentence"),
    [
        ("{sum}", "x", "subject", "This letter knows no {sum}. It can say {shop}, "),
        ("x", "{Total} { total } {}", "body", "This letter knows no {Total}, { total }, {}."),
        ("x", "{question}", "body", "This letter knows no {question}."),
        ("", "x", "subject", "A letter needs a subject."),
        ("\0\u202e", "x", "subject", "A letter needs a subject."),
        ("x", "\n\n", "body", "Write the letter."),
        ("x" * 201, "x", "subject", "At most 200 characters; this has 201."),
        ("x", "x" * 10_001, "body", "At most 10,000 characters; this has 10,001."),
    ],
)
def test_a_wording_that_cannot_be_taken_is_refused_with_its_field(
    owner: Staff, subject: str, body: str, field: str, sentence: str
) -> None:
    with pytest.raises(TextRefused) as refused:
        texts.change("ready", who=owner, version=0, subject=subject, body=body)

    assert refused.value.field == field
    assert str(refused.value).startswith(sentence)
    assert not MailText.objects.exists()


def test_the_longest_wording_that_fits_is_taken(owner: Staff) -> None:
    said = texts.change("ready", who=owner, version=0, subject="s" * 200, body="b" * 10_000)

    assert (said.subject, said.body) == ("s" * 200, "b" * 10_000)


def test_lone_braces_are_only_braces() -> None:
    assert texts.preview("ready", "} or {", "} {\n{link") == ("} or {", "} {\n{link\n")


def test_a_change_counts_up_and_stands_in_the_journal_with_what_was_before(owner: Staff) -> None:
    first = texts.change("ready", who=owner, version=0, subject="Ready\n", body="\r\nCome: {link}\r\n")
    second = texts.change("ready", who=owner, version=1, subject="Ready now", body="Come: {link}")

    assert (first.version, second.version) == (1, 2)
    assert (first.subject, first.body) == ("Ready", "Come: {link}")
    newest = JournalEntry.objects.first()
    assert (newest.subject, newest.who) == ("mail-text:ready", owner)
    assert newest.text == "The letter “Ready” was worded anew."
    assert newest.changes == {"subject": ["Ready", "Ready now"]}


def test_going_back_gives_the_programs_wording_under_a_newer_version(owner: Staff) -> None:
    texts.change("ready", who=owner, version=0, subject="Ready", body="Come.")
    said = texts.reset("ready", who=owner, version=1)

    assert (said.subject, said.body) == (texts.TEXTS["ready"].subject, texts.TEXTS["ready"].body)
    assert (said.version, said.own) == (2, False)
    with pytest.raises(ChangedMeanwhile):
        texts.change("ready", who=owner, version=1, subject="Old", body="Old.")


@pytest.mark.parametrize("version", [0, 2, 99])
def test_a_change_of_another_version_is_refused(owner: Staff, version: int) -> None:
    texts.change("ready", who=owner, version=0, subject="Ready", body="Come.")

    with pytest.raises(ChangedMeanwhile):
        texts.change("ready", who=owner, version=version, subject="Mine", body="Mine.")
    assert texts.wording("ready").subject == "Ready"
    assert JournalEntry.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_of_two_owners_who_save_at_once_one_is_told_of_the_other() -> None:
    owners = [StaffFactory(role=Staff.Role.OWNER) for _ in range(4)]
    start, told = threading.Barrier(4), []

    def save(who: Staff) -> None:
        start.wait()
        try:
            texts.change("ready", who=who, version=0, subject=who.username, body="Come.")
        except ChangedMeanwhile:
            told.append(who.username)
        connection.close()

    threads = [threading.Thread(target=save, args=[who]) for who in owners]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert len(told) == 3
    assert texts.wording("ready").subject not in told
