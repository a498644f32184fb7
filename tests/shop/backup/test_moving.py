"""A shop moves to another database with every record, or stays where it is."""

import pytest
from django.db import OperationalError, connections

from shoprepair import database_url
from shoprepair.shop.backup import digests, elsewhere, moving, sequences
from shoprepair.shop.backup.layout import BackupTrouble
from shoprepair.shop.models import JournalEntry, Letter, Staff
from tests.shop.backup import shops

pytestmark = pytest.mark.django_db


@pytest.fixture
def both(restored, empty, django_db_blocker):
    """The shop's database, and an empty one beside it, which no other test knows."""
    with (
        django_db_blocker.unblock(),
        elsewhere.opened(database_url.sqlite(restored / "shop.sqlite3"), "here") as here,
        elsewhere.opened(database_url.sqlite(empty), "there") as there,
    ):
        yield here, there


def test_every_record_is_there_and_the_same(both, restored, empty):
    here, there = both
    moved = moving.move(here, there)

    assert moved.rows > 50
    assert moved.digests["cover.Cover"].rows == moved.digests["jobs.Photo"].rows == 1
    statement = "SELECT username, password, last_login FROM shop_staff"
    assert shops.asked(empty, statement) == shops.asked(restored / "shop.sqlite3", statement)
    assert moving.obstacle(there).startswith("The other database is not empty")


def test_a_key_whose_record_is_gone_is_not_given_again(both):
    here, there = both
    letter = Letter.objects.using(here).latest("pk")
    last = letter.pk
    letter.delete()
    moving.move(here, there)
    letter.pk = None
    letter.save(using=there, force_insert=True)

    assert letter.pk == last + 1
    assert sequences.last(there, [Letter]) == {"shop_letter": last + 1}


def test_what_nobody_may_change_stays_so_in_the_other_database(both):
    here, there = both
    moving.move(here, there)
    with pytest.raises(Exception, match="append-only"):
        JournalEntry.objects.using(there).update(text="otherwise")


def test_stopped_half_way_nothing_is_there_and_it_can_begin_anew(both):
    seen = []

    def tell(line):
        seen.append(line)
        if len(seen) == 30:
            raise OperationalError("the line to the server broke")

    here, there = both
    with pytest.raises(OperationalError):
        moving.move(here, there, tell)
    assert moving.obstacle(there) == ""
    assert moving.move(here, there).rows > 50


def test_a_record_that_the_other_database_changes_is_noticed(both):
    here, there = both
    with connections[there].cursor() as cursor:
        cursor.execute(
            "CREATE TRIGGER meddles AFTER INSERT ON shop_staff BEGIN "
            "UPDATE shop_staff SET first_name = 'X' WHERE id = NEW.id; END"
        )
    with pytest.raises(BackupTrouble, match="came out otherwise than it went in"):
        moving.move(here, there)
    assert not Staff.objects.using(there).exists()


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ({"a": 2.0, "b": [1]}, {"b": [1.0], "a": 2}, True),
        ({"a": 0.1}, {"a": 0.1000001}, False),
        ([1, 2], [2, 1], False),
        (True, 1, False),
    ],
)
def test_a_digest_sees_what_differs_and_not_how_a_database_writes_it(one, other, same):
    assert (digests.Digest().plus((one,)) == digests.Digest().plus((other,))) is same


def test_the_order_of_rows_is_no_difference():
    rows = [(1, "Ö"), (2, "o"), (3, "O")]
    found = [digests.Digest(), digests.Digest()]
    for first, second in zip(rows, reversed(rows), strict=True):
        found = [found[0].plus(first), found[1].plus(second)]
    assert found[0] == found[1]
