"""The window through which words are written over, and what stays shut even while it is open."""

import pytest
from django.db import DatabaseError, transaction

from shoprepair.shop import erasing, journal
from shoprepair.shop.models import Counter, Erasing, JournalEntry

pytestmark = pytest.mark.django_db


@pytest.fixture
def entry(owner):
    return journal.record("customer:1", "customer.added", "Ilka is a new customer.", who=owner)


def refused(change):
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        change()


def test_the_journal_refuses_every_change_while_nobody_is_erased(entry):
    refused(lambda: JournalEntry.objects.update(text="…"))
    refused(JournalEntry.objects.all().delete)


def test_its_words_change_inside_the_window_but_neither_when_nor_who_nor_what_about(entry):
    with erasing.window():
        JournalEntry.objects.update(text=erasing.ERASED, changes={})
        refused(lambda: JournalEntry.objects.update(subject="customer:2"))
        refused(lambda: JournalEntry.objects.update(who=None))
        refused(lambda: JournalEntry.objects.update(at="2001-01-01T00:00Z"))
        refused(JournalEntry.objects.all().delete)
    assert JournalEntry.objects.get().text == erasing.ERASED


def test_the_window_is_shut_again_after_it_was_used_and_after_it_failed(entry):
    with erasing.window():
        pass
    with pytest.raises(ZeroDivisionError), erasing.window():
        raise ZeroDivisionError
    assert not Erasing.objects.exists()
    refused(lambda: JournalEntry.objects.update(text="…"))


def test_a_journal_gives_way_to_an_archive_only_before_anything_was_numbered(entry):
    with erasing.window(erasing.Purpose.ARCHIVE):
        refused(lambda: JournalEntry.objects.update(text="…"))
        JournalEntry.objects.all().delete()
    journal.record("customer:1", "customer.added", "Ilka is a new customer.", who=None)
    Counter.objects.create(name="job", value=1)
    with erasing.window(erasing.Purpose.ARCHIVE):
        refused(JournalEntry.objects.all().delete)
