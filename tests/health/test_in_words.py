"""The owner reads how the shop runs, and what to do where it does not."""

import datetime

import pytest

from shoprepair.health import in_words, standing
from shoprepair.health.standing import Finding, Standing
from tests.health.test_views import _asked_anew, well  # noqa: F401 - fixtures

pytestmark = pytest.mark.django_db
WORKER = Finding("worker", "late", closes=False, good=False, figures={"age_s": 7300})
DATABASE = Finding("database", "ok", closes=True, good=True)


@pytest.mark.usefixtures("well")
def test_where_all_is_well_it_says_so_and_asks_for_nothing(as_person, owner):
    page = as_person(owner).get("/office/how-it-runs/").content.decode()

    assert "All is well." in page
    assert page.count("Well\n") == 5
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


def test_every_word_that_the_findings_have_has_its_sentence(as_person, owner):
    assert {one.name for one in standing.look().findings} <= {name for name, _ in in_words._SAYS}
