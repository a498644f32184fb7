"""Records changed behind the program's back, as somebody with the database file could."""

import json
from dataclasses import replace

import pytest
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction

from shoprepair.cover import chain, endings, leaving, record
from shoprepair.cover.models import Cover, Ending
from shoprepair.cover.reading import read
from shoprepair.jobs import photos
from tests.cover.covering import a_light_visit, lightly_covered, picture
from tests.factories import InflatableFactory, StaffFactory, handed_back

pytestmark = pytest.mark.django_db


@pytest.fixture
def covers() -> list[Cover]:
    gear = InflatableFactory()
    return [lightly_covered(gear) for _ in range(3)]


def behind_the_back(statement: str, *values: object) -> None:
    on_server = "" if connection.vendor == "sqlite" else " ON cover_cover"
    with connection.cursor() as cursor:
        for name in ("cover_refuses_change", "cover_refuses_deletion"):
            cursor.execute(f"DROP TRIGGER IF EXISTS {name}{on_server}")
        cursor.execute(statement, values)


def test_covers_as_they_were_given_hold_together(covers, capsys) -> None:
    assert [cover.number for cover in covers] == [1, 2, 3]
    assert [cover.previous for cover in covers] == ["", covers[0].digest, covers[1].digest]
    call_command("check_covers")
    assert capsys.readouterr().out == f"3 covers, each as it was given. Last digest: {covers[2].digest}\n"


def test_a_shop_without_covers_has_nothing_to_check(db, capsys) -> None:
    call_command("check_covers")
    assert capsys.readouterr().out == "0 covers, each as it was given.\n"


def test_the_database_refuses_to_change_a_cover(covers) -> None:
    for change in ({"techs": ["Nobody"]}, {"contents": "{}"}, {"number": 9}):
        with pytest.raises(DatabaseError, match="A cover is never changed"), transaction.atomic():
            Cover.objects.filter(pk=covers[0].pk).update(**change)


def test_the_database_refuses_to_delete_a_cover_or_to_undo_an_ending(covers) -> None:
    ending = endings.end(covers[0], Ending.Reason.RETIRED, who=StaffFactory())
    with pytest.raises(DatabaseError, match="A cover is never changed"), transaction.atomic():
        Cover.objects.filter(pk=covers[2].pk)._raw_delete("default")
    with pytest.raises(DatabaseError, match="stays ended"), transaction.atomic():
        Ending.objects.filter(pk=ending.pk).delete()
    with pytest.raises(DatabaseError, match="stays ended"), transaction.atomic():
        Ending.objects.filter(pk=ending.pk).update(note="No.")


def test_changed_contents_are_found(covers, capsys) -> None:
    kept = json.loads(covers[1].contents)
    kept["terms"]["words"] = "Everything, for ever."
    behind_the_back("UPDATE cover_cover SET contents = %s WHERE number = 2", record.canonical(kept))
    with pytest.raises(SystemExit) as exit:
        call_command("check_covers")
    assert exit.value.code == 1
    assert capsys.readouterr().err == "Cover 00002 was changed: its contents no longer give its digest.\n"


def test_changed_contents_with_a_digest_to_match_are_found_at_the_next(covers) -> None:
    contents = record.canonical(json.loads(covers[1].contents) | {"techs": ["Somebody else"]})
    forged = record.digest(covers[1].previous, contents)
    behind_the_back(
        "UPDATE cover_cover SET contents = %s, digest = %s, techs = %s WHERE number = 2",
        contents,
        forged,
        '["Somebody else"]',
    )
    assert chain.first_broken().number == 3


CHANGES = [
    ("UPDATE cover_cover SET digest = 'f' WHERE number = 1", 1, "was changed"),
    ("UPDATE cover_cover SET until = '2099-01-01' WHERE number = 2", 2, "beside its contents: until"),
    ("UPDATE cover_cover SET techs = '[\"X\"]' WHERE number = 3", 3, "beside its contents: techs"),
    ("UPDATE cover_cover SET number = 7 WHERE number = 3", 3, "is missing"),
    ("DELETE FROM cover_cover WHERE number = 2", 2, "is missing"),
    ("DELETE FROM cover_cover WHERE number = 3", 3, "is missing"),
]


def test_the_first_record_that_was_changed_is_named(covers) -> None:
    for statement, number, what in CHANGES:
        with transaction.atomic():
            behind_the_back(statement)
            broken = chain.first_broken()
            transaction.set_rollback(True)
        assert broken.number == number
        assert broken.what.startswith(f"Cover {number:05d} ")
        assert what in broken.what


def test_a_cover_put_on_other_gear_is_found(covers) -> None:
    behind_the_back("UPDATE cover_cover SET inflatable_id = %s WHERE number = 1", InflatableFactory().pk)
    assert chain.first_broken().what == "Cover 00001 was changed beside its contents: inflatable_id."


def test_a_cover_put_on_another_job_is_found(covers) -> None:
    behind_the_back("UPDATE cover_cover SET job_id = %s WHERE number = 2", covers[2].job_id)
    assert chain.first_broken() == chain.Broken(2, "Cover 00002 was changed beside its contents: job.")


def test_beside_a_cover_s_contents_stands_what_they_say() -> None:
    cover = lightly_covered(cover_months=6)
    said = read(cover)
    beside = chain.columns(said)
    assert beside == {
        "number": 1,
        "given_at": cover.hand_back.at,
        "until": said.until,
        "operation": said.repair.operation,
        "operation_name": "Casing patch",
        "kind": "cut",
        "element": "leading edge",
        "cloth": said.cloth,
        "techs": list(said.techs),
        "lots": [str(lot) for lot in said.lots],
    }
    of_nothing = chain.columns(replace(said, damages=()))
    assert of_nothing == beside | {"kind": "", "element": ""}


def test_a_photo_that_was_exchanged_is_found_and_one_that_is_gone_is_not_missed() -> None:
    job = a_light_visit()
    photo = photos.keep(job, picture(), damage=job.damages.get(), who=StaffFactory())
    handed_back(job)
    kept = photos.file(photo, "large")
    assert chain.first_photo_changed() is None
    kept.unlink()
    kept.write(b"another one")
    found = chain.first_photo_changed()
    assert (found.number, found.what) == (1, f"A photo of cover 00001 was changed: {photo.key}.")
    kept.unlink()
    assert chain.first_photo_changed() is None


def as_one_chain(contents: str) -> str | None:
    """Contents with a digest to match in the last cover: nothing but reading them tells."""
    last = Cover.objects.order_by("number").last()
    forged = record.digest(last.previous, contents)
    where = " WHERE number = 3"
    behind_the_back("UPDATE cover_cover SET contents = %s, digest = %s" + where, contents, forged)
    found = chain.first_broken()
    return found.what if found else None


def test_contents_that_no_program_wrote_are_found_even_with_their_digest(covers) -> None:
    assert "Cover 00003 cannot be read." in as_one_chain("{}")
    loose = json.dumps(json.loads(covers[2].contents), indent=1)
    assert "not in the form in which they are kept" in as_one_chain(loose)


def test_an_archive_is_not_brought_in_with_a_chain_that_is_broken(covers) -> None:
    rows = list(Cover.objects.values("number", "previous", "digest", "contents"))
    assert leaving.broken(reversed(rows)) == leaving.still_broken() == ""
    first, second, third = rows
    forged = record.digest("", second["contents"])
    assert "Cover 00002 is missing in the archive" in leaving.broken([first, third])
    assert "Cover 00002 was changed" in leaving.broken([first, second | {"contents": "{}"}, third])
    elsewhere = second | {"previous": "", "digest": forged}
    assert "Cover 00002 does not follow" in leaving.broken([first, elsewhere, third])
