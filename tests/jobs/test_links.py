import json
import re

import pytest
from django.core import serializers
from django.db import IntegrityError, transaction
from django.utils import timezone

from shoprepair.jobs import links
from shoprepair.jobs.models import Job, StatusLink
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from tests.factories import JobFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def job() -> Job:
    return JobFactory()


@pytest.fixture
def link(job: Job, counter: Staff) -> StatusLink:
    return links.make(job, who=counter)


def test_a_link_opens_its_job(link: StatusLink, job: Job) -> None:
    found = links.find(links.token(link))
    assert found == link
    assert found.job == job
    other = links.make(JobFactory(), who=None)
    assert links.find(links.token(other)) == other


def test_a_job_has_one_live_link_however_often_it_is_made(
    link: StatusLink, job: Job, counter: Staff, django_assert_num_queries
) -> None:
    with django_assert_num_queries(1):
        assert links.make(job, who=counter) == link
    assert links.current(job) == link
    assert StatusLink.objects.count() == 1


def test_two_who_make_a_link_at_once_get_the_same_one(
    job: Job, counter: Staff, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = links.make(job, who=counter)
    seen = iter([None, first])
    monkeypatch.setattr(links, "current", lambda asked: next(seen) if asked == job else None)
    assert links.make(job, who=counter) == first


def test_the_database_holds_a_job_to_one_live_link(link: StatusLink, job: Job) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        StatusLink.objects.create(job=job, nonce="n", token_hash="h", made_at=timezone.now())


def test_a_token_is_256_bits_that_an_address_takes_as_they_are(link: StatusLink) -> None:
    assert re.fullmatch(r"[A-Za-z0-9_-]{43}", links.token(link))


def test_tokens_differ_from_job_to_job_and_from_link_to_link(counter: Staff) -> None:
    tokens = {links.token(links.make(JobFactory(), who=counter)) for _ in range(20)}
    one = JobFactory()
    tokens |= {links.token(links.renew(one, who=counter)) for _ in range(20)}
    assert len(tokens) == 40


def test_the_token_of_a_link_is_always_the_same_so_that_it_can_be_printed_again(link: StatusLink) -> None:
    assert links.token(StatusLink.objects.get()) == links.token(link)


def test_another_secret_key_gives_another_token(link: StatusLink, settings) -> None:
    token = links.token(link)
    settings.SECRET_KEY = "another key that is quite long enough to be one of these keys"
    assert links.token(link) != token
    assert links.find(token) is None


def test_whoever_reads_the_database_finds_no_token_in_it(link: StatusLink) -> None:
    kept = serializers.serialize("json", StatusLink.objects.all())
    journalled = json.dumps(list(journal.entries(link.job).values("text", "changes")))
    assert links.token(link) not in kept + journalled


def test_a_link_opens_and_is_printed_the_same_after_the_shop_s_key_was_changed(
    link: StatusLink, job: Job, counter: Staff, settings, django_assert_num_queries
) -> None:
    token = links.token(link)
    settings.SECRET_KEY_FALLBACKS = [settings.SECRET_KEY]
    settings.SECRET_KEY = "another key that is quite long enough to be one of these keys"
    with django_assert_num_queries(1):
        assert links.find(token) == link
    assert links.token(links.make(job, who=counter)) == token
    renewed = links.renew(job, who=counter)
    settings.SECRET_KEY_FALLBACKS = []
    assert links.find(links.token(renewed)) == renewed


def test_a_row_whose_hash_was_planted_opens_nothing(link: StatusLink, settings) -> None:
    planted = "A" * 43
    StatusLink.objects.update(token_hash=links._hash(planted, settings.SECRET_KEY))
    assert links.find(planted) is None


@pytest.mark.parametrize(
    "spoil",
    [
        lambda token: "",
        lambda token: token[:-1],
        lambda token: token + "A",
        lambda token: token.swapcase(),
        lambda token: token[:-1] + ("A" if token[-1] != "A" else "B"),
        lambda token: token[:-1] + "\0",
        lambda token: token[:-1] + ".",
        lambda token: token[:-1] + "Ａ",
        lambda token: token + "\n",
        lambda token: token * 250,
        lambda token: "' OR 1=1 --".ljust(43, "x"),
    ],
)
def test_a_token_that_is_not_quite_it_opens_nothing(link: StatusLink, spoil) -> None:
    assert links.find(spoil(links.token(link))) is None


def test_a_withdrawn_link_opens_nothing_and_says_who_withdrew_it(
    link: StatusLink, job: Job, owner: Staff
) -> None:
    token = links.token(link)
    links.withdraw(link, who=owner)
    assert links.find(token) is None
    assert links.current(job) is None
    assert (link.withdrawn_by, link.withdrawn_at is None) == (owner, False)


def test_withdrawing_twice_is_written_down_once(link: StatusLink, job: Job, owner: Staff) -> None:
    at = links.withdraw(link, who=owner).withdrawn_at
    assert links.withdraw(link, who=owner).withdrawn_at == at
    assert [entry.verb for entry in journal.entries(job)] == ["link.withdrawn", "link.made"]


def test_a_renewed_link_is_another_one_and_the_old_one_is_dead(
    link: StatusLink, job: Job, owner: Staff
) -> None:
    renewed = links.renew(job, who=owner)
    assert links.find(links.token(link)) is None
    assert links.find(links.token(renewed)) == renewed
    assert [entry.verb for entry in journal.entries(job)] == ["link.made", "link.withdrawn", "link.made"]


def test_renewing_where_there_is_none_makes_one(job: Job, owner: Staff) -> None:
    assert links.renew(job, who=owner) == links.current(job)


def test_unknown_and_withdrawn_tokens_ask_the_same_of_the_database(
    link: StatusLink, owner: Staff, django_assert_num_queries
) -> None:
    links.withdraw(link, who=owner)
    for token in (links.token(link), "A" * 43):
        with django_assert_num_queries(1):
            assert links.find(token) is None


@pytest.mark.parametrize("base_url", ["https://loft.example", "https://loft.example/"])
def test_the_whole_address_is_where_the_shop_is_reached(link: StatusLink, base_url: str) -> None:
    assert links.path(link) == f"/s/{links.token(link)}/"
    assert links.url(link, base_url) == f"https://loft.example/s/{links.token(link)}/"


def test_who_made_and_who_withdrew_a_link_stands_in_the_journal(
    link: StatusLink, job: Job, counter: Staff, owner: Staff
) -> None:
    links.withdraw(link, who=owner)
    links.make(job, who=None, who_name="Ilka Sandvoort (customer)")
    renewed = links.renew(JobFactory(), who=None)
    assert journal.entries(renewed.job).get().who_name == "the program"
    told = [(entry.verb, entry.text, entry.who, entry.who_name) for entry in journal.entries(job)]
    made = "A status link was made for the customer."
    assert told == [
        ("link.made", made, None, "Ilka Sandvoort (customer)"),
        ("link.withdrawn", "The status link was withdrawn.", owner, "Runa Selvaag"),
        ("link.made", made, counter, "Maja Orrevik"),
    ]


def test_a_link_keeps_who_made_it_when_and_256_random_bits(link: StatusLink, counter: Staff) -> None:
    assert (link.made_by, len(link.nonce)) == (counter, 43)
    assert abs(timezone.now() - link.made_at).total_seconds() < 60


def test_a_link_sent_years_ago_opens_the_same_in_every_later_version() -> None:
    link = StatusLink(job_id=412, nonce="a nonce of years ago")
    token = links._token(link, "a key of years ago")
    assert token == "ZYDL4r0VrZyDWO-RgxbsUfkk8w_I_6R7rxxnqQ4uero"
    kept = "5ab7d4b4d8ee91f5bcc954b8ecb45d1695e16e2644e1bc8e2fb942c4cb150c4a"
    assert links._hash(token, "a key of years ago") == kept


def test_withdrawing_one_link_leaves_those_of_other_jobs(link: StatusLink, owner: Staff) -> None:
    other = links.make(JobFactory(), who=owner)
    links.withdraw(link, who=owner)
    assert links.find(links.token(other)) == other


def test_a_link_is_found_with_all_that_its_page_begins_with(
    link: StatusLink, django_assert_num_queries
) -> None:
    with django_assert_num_queries(1):
        job = links.find(links.token(link)).job
        assert (job.customer.name, job.inflatable.pattern.name) != ("", "")


def test_what_the_database_refuses_for_another_reason_is_not_hidden(
    job: Job, monkeypatch: pytest.MonkeyPatch, counter: Staff
) -> None:
    taken = links.make(JobFactory(), who=counter)
    monkeypatch.setattr(links, "_hash", lambda *_: taken.token_hash)
    with pytest.raises(IntegrityError):
        links.make(job, who=counter)


def test_a_renewal_is_written_down_as_the_deed_of_whoever_renewed(
    link: StatusLink, job: Job, owner: Staff
) -> None:
    renewed = links.renew(job, who=owner)
    link.refresh_from_db()
    assert (link.withdrawn_by, renewed.made_by) == (owner, owner)
