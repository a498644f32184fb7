"""The owner reads how the shop runs, and what to do where it does not."""

import datetime

import pytest

from shoprepair.health import in_words, standing
from shoprepair.health.standing import Finding, Standing
from shoprepair.shop import outbox
from shoprepair.shop.outbox import texts
from tests.health.test_views import _asked_anew, well  # noqa: F401 - fixtures

pytestmark = pytest.mark.django_db
WORKER = Finding("worker", "late", closes=False, good=False, figures={"age_s": 7300})
DATABASE = Finding("database", "ok", closes=True, good=True)


@pytest.mark.usefixtures("well")
def test_where_all_is_well_it_says_so_and_asks_for_nothing(as_person, owner):
    page = as_person(owner).get("/office/how-it-runs/").content.decode()

    assert "All is well." in page
    assert page.count("Well\n") == 6
    assert "The last good one is 60 minutes old." in page
    assert "Needs a look" not in page


@pytest.mark.usefixtures("_asked_anew")
def test_a_worker_that_never_ran_and_no_backup_are_said_first_with_what_to_do(as_person, owner):
    page = as_person(owner).get("/office/how-it-runs/").content.decode()

    assert "The shop works. 2 things below need a look." in page
    assert page.index("Nobody has ever seen to them") < page.index("What is written is kept.")
    assert "manage.py send_letters" in page


def test_what_does_not_work_stands_before_what_needs_a_look():
    full = Finding("disk", "full", closes=True, good=False, figures={"free_mb": 40})
    found = Standing((DATABASE, WORKER, full))

    assert [one.tone for one in in_words.said(found)] == ["error", "warning", "good"]
    assert in_words.said(found)[0].words == "Hardly anything is free: 40 MB."
    assert in_words.said(found)[1].words == "Nobody has seen to them for 2 hours."
    assert in_words.summary(found).startswith("The shop cannot work")
    assert in_words.summary(Standing((DATABASE, WORKER))) == "The shop works. One thing below needs a look."


def test_a_word_that_nobody_knows_yet_is_told_plainly():
    (said,) = in_words.said(Standing((Finding("database", "away", closes=True, good=False),)))

    assert (said.words, said.tone) == ("It cannot be seen just now.", "error")


@pytest.mark.parametrize(
    ("while_", "words"),
    [
        (datetime.timedelta(0), "a moment"),
        (datetime.timedelta(seconds=1), "1 second"),
        (datetime.timedelta(minutes=5), "5 minutes"),
        (datetime.timedelta(hours=25), "25 hours"),
        (datetime.timedelta(days=3), "3 days"),
    ],
)
def test_a_while_is_said_as_people_say_it(while_, words):
    assert in_words.lasting(while_.total_seconds()) == words


AWAKE = {"waiting": 0, "failed": 0, "unsure": 0}
NOVEMBER = {"since": "2025-11-24T12:00:00+00:00"}


@pytest.mark.parametrize(
    ("word", "figures", "words"),
    [
        ("ok", {}, "None waits, and none came back."),
        ("off", {}, "No mail server is set. No letter waits for one."),
        (
            "no-server",
            {"waiting": 6, "failed": 1, "unsure": 2} | NOVEMBER,
            "No mail server is set. 6 letters wait, the first since 24 November 2025. "
            "1 came back or was refused. 2 may not have arrived.",
        ),
        (
            "no-address",
            {"waiting": 1} | NOVEMBER,
            "The shop has no e-mail address to write from. 1 letter waits, since 24 November 2025.",
        ),
        ("back", {"failed": 2}, "2 came back or were refused."),
    ],
)
def test_of_letters_it_says_why_none_leaves_and_what_did_not_arrive(word, figures, words):
    good = word in ("ok", "off")
    finding = Finding("letters", word, closes=False, good=good, figures=AWAKE | figures)
    (said,) = in_words.said(Standing((finding,)))

    assert said.words == words
    assert (said.tone, bool(said.to_do)) == (("good", False) if good else ("warning", True))


@pytest.mark.usefixtures("well")
def test_letters_that_wait_for_a_mail_server_are_no_shop_in_which_all_is_well(as_person, owner):
    outbox.write(
        "ida@lee.example", "ready", dict.fromkeys(texts.TEXTS["ready"].placeholders, "x"), about="job:1"
    )
    page = as_person(owner).get("/office/how-it-runs/").content.decode()

    assert "All is well." not in page
    assert "No mail server is set. 1 letter waits, since" in page
    assert "ring these customers up" in page


def test_every_word_that_the_findings_have_has_its_sentence(as_person, owner):
    assert {one.name for one in standing.look().findings} <= set(in_words._TITLES)
