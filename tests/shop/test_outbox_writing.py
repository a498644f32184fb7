"""Letters are written with the change that they tell of, and people decide about those that did not leave."""

from collections.abc import Callable
from typing import Any

import pytest
from django.db import transaction
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.shop import outbox
from shoprepair.shop.models import JournalEntry, Letter, Shop, Staff
from shoprepair.shop.outbox import texts, words
from shoprepair.shop.outbox.wording import cleaned, fill, one_line

State = Letter.State
Write = Callable[..., Letter]


def in_state(letter: Letter, state: str, **fields: Any) -> Letter:
    Letter.objects.filter(pk=letter.pk).update(state=state, **fields)
    letter.refresh_from_db()
    return letter


def test_a_letter_waits_from_the_moment_it_is_written(write: Write) -> None:
    letter = write()

    assert letter.state == State.WAITING
    assert letter.next_try_at == letter.written_at
    assert (letter.give_up_at - letter.written_at).total_seconds() == 48 * 3600
    assert words.say_state(letter) == "waiting to be sent"


@pytest.mark.django_db(transaction=True)
def test_a_change_that_is_rolled_back_writes_no_letter(write: Write) -> None:
    def change() -> None:
        with transaction.atomic():
            write()
            raise RuntimeError

    with pytest.raises(RuntimeError):
        change()
    assert not Letter.objects.exists()


def test_the_letters_of_a_job_are_its_own_with_the_newest_first(write: Write) -> None:
    first, second = write(), write()
    Letter.objects.filter(pk=write().pk).update(about="job:413")

    assert outbox.letters("job:412") == [second, first]
    assert outbox.letters("job:4") == []


def test_every_letter_has_an_identity_of_its_own_under_the_shops_domain(write: Write) -> None:
    ids = {write().message_id for _ in range(3)}

    assert len(ids) == 3
    assert all(identity.endswith("@northquay.example>") for identity in ids)


@pytest.mark.parametrize(
    ("address", "domain"),
    [
        ("", "shop.invalid"),
        ("loft@zürich.example", "xn--zrich-kva.example"),
        (f"loft@{'x' * 70}.example", "shop.invalid"),
        (f"loft@{'.'.join(['abcdefghi'] * 9)}.example", "shop.invalid"),
    ],
)
def test_an_identity_always_has_a_domain_that_can_be_written(
    shop: Shop, write: Write, address: str, domain: str
) -> None:
    shop.email = address
    shop.save()

    assert write().message_id.endswith(f"@{domain}>")


def test_a_letter_without_one_of_its_values_is_a_mistake_that_says_which(shop: Shop) -> None:
    with pytest.raises(ValueError, match="The letter ready lacks job, gear, link, total"):
        outbox.write("ida@lee.example", "ready", {"customer": "Ida"}, about="job:412")


@pytest.mark.parametrize("address", ["", "ida", "ida@", "ida@lee", "ida@lee.example\nBcc: all@lee.example"])
def test_an_address_that_is_none_stands_as_not_sent_and_undoes_nothing(write: Write, address: str) -> None:
    letter = write(address)

    assert letter.state == State.FAILED
    assert "\n" not in letter.to
    assert words.say_state(letter).startswith("not sent: “ida" if address else "not sent: “”")


def test_an_address_longer_than_any_is_kept_as_far_as_it_fits(write: Write) -> None:
    letter = write(f"{'i' * 300}@lee.example")

    assert (letter.state, len(letter.to)) == (State.FAILED, 254)


def test_a_line_about_nothing_is_left_out(write: Write) -> None:
    body = write(code="go-ahead-received", deposit="").body

    assert "Deposit" not in body
    assert "In all: US$248.50" in body


def test_where_a_line_is_left_out_no_gap_stays() -> None:
    assert fill("a\n\n{x}\n\nb\n{x}\nc\n\n{x}", {"x": " "}) == "a\n\nb\nc\n"


def test_a_letter_without_a_page_to_point_to_does_not_point(write: Write) -> None:
    body = write(code="go-ahead-received", link="").body

    assert "your page" not in body
    assert "\n\n\n" not in body


def test_a_value_is_filled_in_once_and_as_it_is(write: Write) -> None:
    letter = write(code="question-answered", question="{answer} & <b>{link}</b>", answer="{question}")

    assert "{answer} & <b>{link}</b>" in letter.body
    assert "{question}" in letter.body


def test_a_name_of_many_lines_stays_on_one_in_the_subject(write: Write) -> None:
    letter = write(gear="Petrel\r\nBcc: all@lee.example\u2028X: y")

    assert letter.subject == "North Quay Sail Loft: the quote for your Petrel Bcc: all@lee.example X: y"


def test_a_subject_is_cut_where_it_no_longer_fits(write: Write) -> None:
    assert len(write(gear="Petrel " * 100).subject) == 250


@given(st.text())
def test_no_text_brings_controls_into_a_letter(text: str) -> None:
    line = one_line(text)

    assert line.isprintable() or line == cleaned(line)
    assert not set(line) & set("\r\n\0\x0b\x1b\x85\u2028\u2029\u202e")
    line.encode()


@given(st.text(), st.text())
def test_filling_never_reads_what_was_filled_in(first: str, second: str) -> None:
    if first.strip() or second.strip():
        assert fill("{a}|{b}", {"a": first, "b": second}) == f"{first}|{second}"


@pytest.mark.parametrize("state", [State.UNSURE, State.FAILED])
def test_a_person_may_send_again_what_did_not_surely_arrive(write: Write, counter: Staff, state: str) -> None:
    letter = in_state(write(), state, tries=9, last_error="the line broke", claimed_at="2026-01-02 03:04Z")
    given_up = letter.give_up_at
    again = outbox.send_again(letter, who=counter)

    assert (again.state, again.tries, again.last_error, again.claimed_at) == (State.WAITING, 0, "", None)
    assert again.give_up_at > given_up
    entry = JournalEntry.objects.get(subject="job:412")
    assert (entry.verb, entry.who) == ("letter.again", counter)
    assert entry.text == f"The letter “{letter.subject}” is to be sent again."


@pytest.mark.parametrize("state", [State.WAITING, State.SENDING, State.SENT, State.CANCELLED])
def test_no_other_letter_can_be_sent_again(write: Write, counter: Staff, state: str) -> None:
    letter = in_state(write(), state)

    with pytest.raises(outbox.NotPossible, match=letter.get_state_display().lower()):
        outbox.send_again(letter, who=counter)
    assert not letter.may_go_again
    assert not JournalEntry.objects.exists()


@pytest.mark.parametrize("state", [State.WAITING, State.UNSURE, State.FAILED])
def test_a_person_may_keep_a_letter_from_being_sent(write: Write, counter: Staff, state: str) -> None:
    letter = in_state(write(), state)
    assert letter.may_be_cancelled

    assert outbox.cancel(letter, who=counter).state == State.CANCELLED
    assert JournalEntry.objects.get().verb == "letter.cancelled"


@pytest.mark.parametrize("state", [State.SENDING, State.SENT, State.CANCELLED])
def test_what_is_out_or_on_its_way_cannot_be_held_back(write: Write, counter: Staff, state: str) -> None:
    letter = in_state(write(), state)

    with pytest.raises(outbox.NotPossible):
        outbox.cancel(letter, who=counter)
    assert not letter.may_be_cancelled


def test_of_two_people_who_decide_the_second_reads_what_the_first_decided(
    write: Write, counter: Staff
) -> None:
    seen_by_both = in_state(write(), State.UNSURE)
    outbox.cancel(Letter.objects.get(), who=counter)

    with pytest.raises(outbox.NotPossible, match="not to be sent"):
        outbox.send_again(seen_by_both, who=counter)


def test_every_text_reads_well_with_its_own_samples() -> None:
    assert all("{" not in "".join(texts.fill(t.body, texts.SAMPLES)) for t in texts.TEXTS.values())


@pytest.mark.django_db
@pytest.mark.parametrize("code", texts.TEXTS)
def test_every_text_of_the_program_could_be_saved_as_the_owners(code: str) -> None:
    text = texts.TEXTS[code]
    subject, body = texts.preview(code, text.subject, text.body)

    assert "{" not in subject + body
    assert texts.SAMPLES["link"] in body
