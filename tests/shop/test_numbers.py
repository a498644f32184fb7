import threading

import pytest
from django.db import connection, transaction

from shoprepair.shop.numbers import next_number


@pytest.mark.django_db
def test_numbers_count_from_one_in_each_series() -> None:
    assert [next_number("job"), next_number("job"), next_number("quote"), next_number("job")] == [1, 2, 1, 3]


@pytest.mark.django_db
def test_the_number_of_a_record_that_was_not_written_is_given_again() -> None:
    @transaction.atomic
    def check_in_but_fail() -> None:
        next_number("job")
        raise LookupError

    next_number("job")
    with pytest.raises(LookupError):
        check_in_but_fail()
    assert next_number("job") == 2


@pytest.mark.django_db(transaction=True)
def test_no_number_is_taken_outside_the_transaction_that_uses_it() -> None:
    with pytest.raises(RuntimeError, match="inside the transaction"):
        next_number("job")


@pytest.mark.django_db(transaction=True)
def test_people_checking_in_at_the_same_moment_get_every_number_once() -> None:
    taken: list[int] = []
    start = threading.Barrier(4)

    def check_in_ten() -> None:
        start.wait()
        for turn in range(10):
            try:
                with transaction.atomic():
                    number = next_number("job")
                    if turn % 3 == 2:
                        raise LookupError
                taken.append(number)
            except LookupError:
                pass
        connection.close()

    threads = [threading.Thread(target=check_in_ten) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(taken) == list(range(1, 29))
