"""Whoever owns the database's file can rewrite the journal; the backups say where."""

import shutil
import sqlite3
from contextlib import closing
from datetime import datetime, timedelta

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.utils import timezone

from shoprepair.jobs import erasure
from shoprepair.jobs.models import Customer
from shoprepair.shop import journal
from shoprepair.shop.backup import duties, held, layout, sealing, standing, writing
from shoprepair.shop.models import JournalEntry, Staff
from tests.factories import CustomerFactory

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def sealed(at_work):
    """A shop at work, of whose journal a backup knows."""
    # Opened again, it is the file of the shop that is at work.
    connection.close()
    (at_work / "backups").mkdir()
    writing.make(at_work / "backups", now=timezone.now() - timedelta(hours=30))
    yield at_work
    connection.close()


def rewrite(at, statement: str) -> None:
    """As somebody does who owns the file: without the program, and without the database's refusal."""
    with closing(sqlite3.connect(at / "shop.sqlite3")) as opened, opened:
        names = opened.execute("SELECT name FROM sqlite_master WHERE name LIKE 'journal_refuses%'").fetchall()
        for (name,) in names:
            opened.execute(f"DROP TRIGGER {name}")
        opened.execute(statement)


def some_entry() -> int:
    """Its number, of one in the middle."""
    return JournalEntry.objects.order_by("id")[3].pk


def wrong(at) -> list[str]:
    return sealing.compare(at / "backups").wrong


def test_whatever_was_rewritten_is_found_and_named(sealed):
    assert wrong(sealed) == []
    one, *others = list(JournalEntry.objects.order_by("id").values_list("pk", flat=True))[1:5]
    rewrite(sealed, f"UPDATE shop_journalentry SET text = 'Runa was there.' WHERE id = {one}")
    assert wrong(sealed) == [f"The words of entry {one} were changed."]
    with pytest.raises(CommandError, match=f"The words of entry {one} were changed"):
        call_command("verify_journal")
    rewrite(sealed, f"UPDATE shop_journalentry SET changes = '{{\"price\": [1, 2]}}' WHERE id = {others[0]}")
    rewrite(sealed, f"UPDATE shop_journalentry SET at = '2026-01-02 09:00:00' WHERE id = {others[1]}")
    rewrite(sealed, f"UPDATE shop_journalentry SET verb = 'x', text = '(erased)' WHERE id = {others[2]}")
    assert wrong(sealed)[1:] == [
        f"The words of entry {others[0]} were changed.",
        f"Entry {others[1]} is another than it was.",
        f"Entry {others[2]} is another than it was.",
    ]


def test_what_was_taken_out_or_slipped_in_is_found_and_named(sealed):
    one, last = some_entry(), JournalEntry.objects.latest("id").pk
    rewrite(sealed, f"DELETE FROM shop_journalentry WHERE id IN ({one}, {last})")
    assert wrong(sealed) == [f"Entry {one} was taken out.", f"Entry {last} was taken out."]
    shutil.rmtree(layout.backups(sealed / "backups")[0])
    writing.make(sealed / "backups")
    assert wrong(sealed) == []
    columns = "subject, at, who_id, who_name, verb, text, changes"
    copied = f"SELECT {one}, {columns} FROM shop_journalentry WHERE id = {one - 1}"
    rewrite(sealed, f"INSERT INTO shop_journalentry (id, {columns}) {copied}")
    assert wrong(sealed) == [f"Entry {one} was slipped in."]


def test_what_was_written_since_and_who_was_erased_is_as_it_should_be(sealed):
    owner = Staff.objects.get(role=Staff.Role.OWNER)
    gone = CustomerFactory(name="Bo Lindqvist")
    journal.record(gone, "customer.corrected", "Bo Lindqvist has another phone.", who=owner)
    writing.make(sealed / "backups", keep_all=True)
    erasure.erase(Customer.objects.get(pk=gone.pk), "Bo Lindqvist", who=owner)
    assert not JournalEntry.objects.filter(text__contains="Lindqvist").exists()
    compared = sealing.compare(sealed / "backups")
    assert (compared.wrong, len(compared.backups)) == ([], 2)
    call_command("verify_journal")


def test_backups_of_days_that_were_given_up_by_restoring_an_older_one_are_not_asked(sealed):
    made_at = timezone.now() - timedelta(hours=30)
    journal.record("job:1", "job.noted", "On the day that was given up.", who=None)
    # Between the backup that was restored and the restoring.
    writing.make(sealed / "backups", keep_all=True, now=timezone.now() - timedelta(hours=1))
    rewrite(sealed, "DELETE FROM shop_journalentry WHERE id = (SELECT MAX(id) FROM shop_journalentry)")
    assert "was taken out" in wrong(sealed)[0]
    rewrite(sealed, held.journal(made_at))
    assert wrong(sealed) == []
    rewrite(sealed, f"DELETE FROM shop_journalentry WHERE id = {(one := some_entry())}")
    assert wrong(sealed) == [f"Entry {one} was taken out."]


def test_a_backup_made_in_the_second_of_the_restoring_is_asked(sealed):
    rewrite(sealed, held.journal(timezone.now() - timedelta(days=9)))
    restored_at = JournalEntry.objects.latest("id").at
    writing.make(sealed / "backups", keep_all=True, now=restored_at.replace(microsecond=0))
    rewrite(sealed, f"DELETE FROM shop_journalentry WHERE id = {(one := some_entry())}")
    assert wrong(sealed) == [f"Entry {one} was taken out."]


def test_the_owner_is_told_and_stays_told_when_the_next_backup_is_made(sealed):
    rewrite(sealed, f"DELETE FROM shop_journalentry WHERE id = {(one := some_entry())}")
    duties.compare_journal()
    duties.back_up()
    duties.compare_journal()
    assert standing.troubles() == [f"The journal is not as the backups have it. Entry {one} was taken out."]


def test_a_shop_without_a_backup_cannot_tell(at_work):
    (at_work / "backups").mkdir()
    with pytest.raises(CommandError, match="No backup in"):
        call_command("verify_journal")
    with pytest.raises(CommandError, match="cannot be read"):
        call_command("verify_journal", "--in", str(at_work / "nowhere"))


def test_an_entry_is_sealed_alike_whichever_database_it_comes_from():
    file = {"id": 1, "subject": "job:1", "at": "2026-11-25 22:30:00.5", "who_id": 7, "who_name": "Runa"}
    words = {"verb": "job.noted", "text": "Wet.", "changes": '{"b": [1, 2.5], "a": [null, "x"]}'}
    moment = datetime.fromisoformat("2026-11-25 23:30:00.500000+01:00")
    served = {**file, **words, "at": moment, "changes": '{"a": [null, "x"], "b": [1, 2.50]}'}
    assert sealing._sealed(file | words) == sealing._sealed(served)
