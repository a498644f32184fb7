"""An archive is of one moment, and nobody waits for it."""

from threading import Thread

import pytest
from django.db import connection

from shoprepair.jobs.models import Customer
from shoprepair.shop.archive.snapshot import snapshot


@pytest.mark.django_db(transaction=True)
def test_who_writes_while_an_archive_is_made_waits_for_nothing_and_is_not_in_it():
    Customer.objects.create(name="Ilka")

    def add() -> None:
        Customer.objects.create(name="Ida")
        connection.close()

    with snapshot():
        names = Customer.objects.order_by("pk").values_list("name", flat=True).iterator(chunk_size=1)
        assert next(names) == "Ilka"
        counter = Thread(target=add)
        counter.start()
        counter.join(timeout=5)
        assert not counter.is_alive()
        assert list(names) == []
        assert Customer.objects.count() == 1
    assert Customer.objects.count() == 2
