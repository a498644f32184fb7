import datetime

import pytest
import time_machine
from django.utils import timezone

from shoprepair.jobs import conversation, links
from shoprepair.jobs.conversation import NotSaid
from shoprepair.jobs.models import Job, Message
from shoprepair.shop import journal, outbox, settings
from shoprepair.shop.models import Staff
from tests.factories import CustomerFactory, JobFactory

pytestmark = pytest.mark.django_db

SHOP = "https://loft.example"


@pytest.fixture
def job() -> Job:
    return JobFactory(customer=CustomerFactory(name="Ilka Sandvoort", email="ilka@sand.example"))


def ask(job: Job, text: str = "Can it be ready by Friday?", name: str = "Ilka") -> Message:
    return conversation.ask(job, name=name, text=text)


def refused(job: Job, **said: str) -> NotSaid:
    with pytest.raises(NotSaid) as refusal:
        ask(job, **said)
    assert not Message.objects.exists()
    assert not journal.entries(job).exists()
    return refusal.value


def test_question_and_answer_stand_in_order(job: Job, bench: Staff) -> None:
    ask(job)
    conversation.reply(job, who=bench, text="Yes, on Thursday.")
    ask(job, "Very good.")
    assert [(message.name, message.text) for message in conversation.messages(job)] == [
        ("Ilka", "Can it be ready by Friday?"),
        ("Tomek Brandal", "Yes, on Thursday."),
        ("Ilka", "Very good."),
    ]


def test_both_sides_stand_in_the_journal_under_their_names(job: Job, bench: Staff) -> None:
    ask(job)
    conversation.reply(job, who=bench, text="Yes.")
    told = [(entry.who, entry.who_name, entry.text) for entry in journal.entries(job)]
    assert told == [
        (bench, "Tomek Brandal", "Answer: Yes."),
        (None, "Ilka (customer)", "Question: Can it be ready by Friday?"),
    ]


def test_a_question_waits_until_the_shop_has_the_last_word(job: Job, bench: Staff) -> None:
    assert not conversation.unanswered(job)
    ask(job)
    assert conversation.unanswered(job)
    conversation.reply(job, who=bench, text="Yes.")
    assert not conversation.unanswered(job)


def test_jobs_do_not_hear_each_other(job: Job) -> None:
    ask(JobFactory())
    assert not conversation.messages(job).exists()
    assert not conversation.unanswered(job)


def test_a_question_sent_twice_is_kept_once(job: Job, bench: Staff) -> None:
    assert ask(job) == ask(job)
    conversation.reply(job, who=bench, text="Yes.")
    ask(job)
    assert Message.objects.filter(by=None).count() == 2


@pytest.mark.parametrize("name", ["", "   ", "\t\n", "\u200b\u200b", "\u3164", "\u202e", "...", "\0"])
def test_a_name_in_which_nothing_can_be_read_is_refused(job: Job, name: str) -> None:
    refusal = refused(job, name=name)
    assert (refusal.field, str(refusal)) == ("name", "Type your name, so that the shop knows who says it.")


def test_an_over_long_name_is_refused_with_its_length(job: Job) -> None:
    refusal = refused(job, name="x" * 121)
    assert (refusal.field, str(refusal)) == ("name", "A name has at most 120 characters; this one has 121.")


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("  Ilka   Sandvoort ", "Ilka Sandvoort"),
        ("ليلى بنت يوسف", "ليلى بنت يوسف"),
        ("evil\u202eeman", "evileman"),
        ("நிலா", "நிலா"),
        ("محمد\u200cرضا", "محمد\u200cرضا"),
        ("<b>Ilka</b>", "<b>Ilka</b>"),
        ("Ilka\0", "Ilka"),
    ],
)
def test_a_name_is_kept_as_it_can_be_read(job: Job, typed: str, kept: str) -> None:
    assert ask(job, name=typed).name == kept


@pytest.mark.parametrize("text", ["", "  \n ", "\0\0"])
def test_an_empty_question_is_refused(job: Job, text: str) -> None:
    refusal = refused(job, text=text)
    assert (refusal.field, str(refusal)) == ("text", "Write your question first.")


def test_two_thousand_characters_are_kept_and_one_more_is_not(job: Job) -> None:
    assert "2,001" in str(refused(job, text="ä" * 2001))
    assert len(ask(job, "ä" * 2000).text) == 2000


def test_ten_thousand_characters_are_refused_with_what_to_do(job: Job) -> None:
    refusal = refused(job, text="x" * 10_000)
    assert refusal.field == "text"
    assert str(refusal) == (
        "At most 2,000 characters go into one message; this one has 10,000. Shorten it, or send it in two."
    )


def test_lines_are_kept_and_a_form_s_line_ends_count_once(job: Job) -> None:
    assert ask(job, "one\r\ntwo\r\n\r\nthree\r\n").text == "one\ntwo\n\nthree"
    assert ask(job, "x\r\n" * 998 + "end").text.count("\n") == 998


def test_the_twenty_first_unanswered_question_of_a_day_is_refused(job: Job, bench: Staff) -> None:
    for number in range(conversation.MOST_UNANSWERED_A_DAY):
        ask(job, f"Question {number}")
    with pytest.raises(NotSaid) as refusal:
        ask(job, "One more")
    assert refusal.value.field == ""
    assert str(refusal.value).startswith("20 questions of today still wait for an answer.")
    assert Message.objects.count() == 20
    conversation.reply(job, who=bench, text="All in good time.")
    assert ask(job, "One more").text == "One more"


def test_the_next_day_questions_are_taken_again(job: Job) -> None:
    with time_machine.travel(timezone.now() - datetime.timedelta(hours=25)):
        for number in range(conversation.MOST_UNANSWERED_A_DAY):
            ask(job, f"Question {number}")
    assert ask(job, "One more").text == "One more"


def test_another_link_is_not_held_up_by_one_that_asks_too_much(job: Job) -> None:
    for number in range(conversation.MOST_UNANSWERED_A_DAY):
        ask(job, f"Question {number}")
    assert ask(JobFactory()).text


def test_an_answer_goes_by_letter_with_the_question_and_the_link(job: Job, bench: Staff) -> None:
    ask(job)
    conversation.reply(job, who=bench, text="Yes, on Thursday.", base_url=SHOP)
    (letter,) = outbox.letters(job)
    assert (letter.to, letter.code) == ("ilka@sand.example", "question-answered")
    link = links.current(job)
    assert link is not None
    for part in ("Can it be ready by Friday?", "Yes, on Thursday.", links.url(link, SHOP)):
        assert part in letter.body


def test_an_answer_finds_the_address_of_the_shop_by_itself(job: Job, bench: Staff) -> None:
    shop = settings.current()
    shop.web_address = SHOP
    shop.save()
    conversation.reply(job, who=bench, text="Yes.")
    assert f"{SHOP}/s/" in outbox.letters(job)[0].body


@pytest.mark.parametrize(("email", "base_url"), [("", SHOP), ("ilka@sand.example", "")])
def test_without_an_address_on_either_side_there_is_no_letter(
    bench: Staff, email: str, base_url: str
) -> None:
    job = JobFactory(customer=CustomerFactory(email=email))
    conversation.reply(job, who=bench, text="Yes.", base_url=base_url)
    assert outbox.letters(job) == []
    assert conversation.messages(job).count() == 1


def test_an_empty_answer_is_refused_and_writes_no_letter(job: Job, bench: Staff) -> None:
    with pytest.raises(NotSaid, match="Write the answer first"):
        conversation.reply(job, who=bench, text=" ", base_url=SHOP)
    assert not Message.objects.exists()
    assert outbox.letters(job) == []
