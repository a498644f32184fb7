import threading
import time

import pytest
from django.db import connection

from shoprepair.shop.models import Shop, Staff, Submission
from shoprepair.shop.submissions import NotOurKey, once
from tests.factories import StaffFactory


class Doing:
    """Something that is done, and counts how often."""

    def __init__(self) -> None:
        self.times = 0

    def __call__(self) -> str:
        self.times += 1
        return f"/jobs/{self.times}/"


@pytest.mark.django_db
def test_a_form_sent_twice_is_carried_out_once(counter: Staff) -> None:
    do = Doing()
    assert [once("abc", counter, do), once("abc", counter, do)] == ["/jobs/1/", "/jobs/1/"]
    assert do.times == 1


@pytest.mark.django_db
def test_two_forms_are_two(counter: Staff) -> None:
    do = Doing()
    assert [once("abc", counter, do), once("abd", counter, do)] == ["/jobs/1/", "/jobs/2/"]


@pytest.mark.django_db
def test_nobody_is_answered_with_another_persons_result(counter: Staff, bench: Staff) -> None:
    do = Doing()
    assert [once("abc", counter, do), once("abc", bench, do)] == ["/jobs/1/", "/jobs/2/"]


@pytest.mark.django_db
def test_a_form_without_a_key_is_simply_carried_out(counter: Staff) -> None:
    do = Doing()
    assert [once("", counter, do), once("", counter, do)] == ["/jobs/1/", "/jobs/2/"]


@pytest.mark.django_db
def test_after_a_failure_the_same_form_may_be_sent_again(counter: Staff) -> None:
    def fail() -> str:
        raise ValueError("A cut of 0 mm is none.")

    with pytest.raises(ValueError, match="none"):
        once("abc", counter, fail)
    assert once("abc", counter, Doing()) == "/jobs/1/"


@pytest.mark.django_db
def test_a_key_that_is_none_of_ours_is_refused(counter: Staff) -> None:
    with pytest.raises(ValueError, match="open the page again"):
        once("k" * 65, counter, Doing())
    assert not Submission.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_a_double_tap_waits_for_the_first_and_gets_its_result() -> None:
    person, results, done = StaffFactory(), [], []
    start = threading.Barrier(4)

    def do() -> str:
        done.append(Shop.objects.create())
        time.sleep(0.05)
        return f"/jobs/{len(done)}/"

    def tap() -> None:
        start.wait()
        results.append(once("abc", person, do))
        connection.close()

    threads = [threading.Thread(target=tap) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert set(results) == {"/jobs/1/"}
    assert len(results) == 4
    assert Shop.objects.count() == 1


@pytest.mark.django_db
@pytest.mark.parametrize("key", ["x" * 65, "a\x00b", "ключ"])
def test_a_key_that_is_not_ours_is_refused_before_anything_is_done(counter: Staff, key: str) -> None:
    do = Doing()
    with pytest.raises(NotOurKey, match="open the page again"):
        once(key, counter, do)
    assert do.times == 0
