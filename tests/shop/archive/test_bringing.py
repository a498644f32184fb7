"""The whole shop as one archive: out, and into an empty shop, exactly; anything else is refused whole."""

import io
import json
import os
from zipfile import ZipFile

import pytest
from django.core.management import CommandError, call_command
from django.db import DatabaseError, connection, transaction
from django_otp.plugins.otp_totp.models import TOTPDevice

from shoprepair.cover import chain
from shoprepair.jobs.models import Job, Photo
from shoprepair.shop import people, pins, second_factor
from shoprepair.shop.archive import opening
from shoprepair.shop.archive.bringing import ArchiveRefused, bring_in
from shoprepair.shop.archive.layout import MANIFEST
from shoprepair.shop.archive.writing import write
from shoprepair.shop.models import Counter, JournalEntry, LogIn, Pin, Staff
from shoprepair.shop.numbers import next_number
from tests.factories import PASSWORD, JobFactory
from tests.shop.archive import shops

pytestmark = pytest.mark.django_db
NEW_PASSWORD = "wet sand on the quay"


@pytest.fixture
def archive(settings, tmp_path):
    """The archive of a shop that lived; the shop itself is empty by now."""
    settings.MEDIA_ROOT = tmp_path / "old"
    shops.lived_in()
    write(tmp_path / "shop.zip")
    shops.emptied()
    settings.MEDIA_ROOT = tmp_path / "new"
    return tmp_path / "shop.zip"


def test_every_table_and_photo_comes_back_as_it_was_and_the_shop_goes_on(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path / "old"
    owner = shops.lived_in()
    before, guards = shops.rows(), shops.triggers()
    last = Job.objects.latest("number").number
    call_command("export_shop", str(tmp_path / "shop.zip"), stdout=io.StringIO())
    shops.emptied()
    settings.MEDIA_ROOT = tmp_path / "new"
    said = io.StringIO()
    call_command("import_shop", str(tmp_path / "shop.zip"), stdout=said)

    after = shops.rows()
    told = after["shop.JournalEntry"].pop()
    assert "was brought in" in str(told)
    assert after == before
    files = {path.relative_to(tmp_path / "old"): path.read_bytes() for path in _files(tmp_path / "old")}
    assert len(files) == 3 * Photo.objects.count() == 3
    assert files == {
        path.relative_to(tmp_path / "new"): path.read_bytes() for path in _files(tmp_path / "new")
    }

    assert shops.triggers() == guards
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        JournalEntry.objects.update(text="…")
    assert chain.first_broken() is None
    assert next_number("job") == last + 1
    assert JobFactory().pk > max(row[0] for row in before["jobs.Job"])
    person = Staff.objects.get(pk=owner.pk)
    assert not person.has_usable_password()
    assert f"changepassword {owner.username}" in said.getvalue()


def _files(folder):
    return sorted(path for path in folder.rglob("*") if path.is_file())


def test_a_shop_that_was_only_begun_gives_way_and_the_owner_of_the_archive_logs_in(archive):
    from shoprepair.gear import library
    from shoprepair.pricing import catalogue
    from shoprepair.shop import daily, limits

    people.first_owner(shop_name="New", name="Ingrid Falk", username="ingrid", password=NEW_PASSWORD)
    library.load()
    catalogue.load()
    # What the program does by itself does not make a shop full.
    daily.run_due()
    limits.allow("asking", "203.0.113.9", most=1, per=limits.LONGEST)
    brought = bring_in(archive, password=NEW_PASSWORD)

    assert brought.owner.username == "runa"
    assert brought.owner.check_password(NEW_PASSWORD)
    assert not Staff.objects.filter(username="ingrid").exists()
    assert not JournalEntry.objects.filter(text__contains="Ingrid").exists()


def test_no_password_leaves_with_an_archive(archive):
    with ZipFile(archive) as whole:
        staff = whole.read("tables/shop.Staff.jsonl").decode()
    assert '"username":"runa"' in staff
    assert "password" not in staff
    assert PASSWORD not in staff


def test_a_shop_that_is_not_empty_keeps_what_it_has(archive):
    JobFactory()
    with pytest.raises(ArchiveRefused, match=r"This shop is not empty: it has .*customers: 1, jobs: 1"):
        bring_in(archive)
    with pytest.raises(CommandError, match="not empty"):
        call_command("import_shop", str(archive))


def test_half_an_upload_is_no_archive(archive):
    content = archive.read_bytes()
    for part in (content[: len(content) // 2], content[100:], b"PK\x03\x04", b"", b"not a zip at all"):
        refused(io.BytesIO(part), "no archive, or was cut off")


def cover_line(parts, change):
    covers = [json.loads(line) for line in parts["tables/cover.Cover.jsonl"].splitlines()]
    change(covers)
    parts["tables/cover.Cover.jsonl"] = b"".join(
        json.dumps(each, ensure_ascii=False, separators=(",", ":")).encode() + b"\n" for each in covers
    )


def manifest(parts, **changes):
    parts[MANIFEST] = json.dumps(json.loads(parts[MANIFEST]) | changes).encode()


def tables_of(parts):
    return json.loads(parts[MANIFEST])["tables"]


def jobs(parts, old, new):
    content = parts["tables/jobs.Job.jsonl"]
    assert old in content
    parts["tables/jobs.Job.jsonl"] = content.replace(old, new)


def test_whatever_was_changed_on_the_way_is_refused_with_a_sentence_and_nothing_is_written(archive):
    """Each first as it came; where the digests were reckoned anew, its contents still give it away."""
    steps = json.loads(ZipFile(archive).read(MANIFEST))["migrations"]
    photo = next(name for name in ZipFile(archive).namelist() if name.endswith("-small.jpg"))
    plainly = {
        "is from a newer version": lambda parts: manifest(parts, migrations=[*steps, "jobs.0999_ahead"]),
        "from a newer version of": lambda parts: manifest(parts, format=2),
        "is from an older version": lambda parts: manifest(parts, migrations=steps[:-1]),
        "not that of a shop's archive": lambda parts: manifest(parts, kind="else"),
        "manifest of this archive cannot be read": lambda parts: parts.update({MANIFEST: b"{"}),
        "archive cannot be read": lambda parts: manifest(parts, format="1"),
        "archive cannot be read.": lambda parts: manifest(parts, tables={"jobs.Job": {"bytes": -1}}),
        "are not those of a shop: “jobs.Job”": lambda parts: manifest(
            parts, tables={name: one for name, one in tables_of(parts).items() if name != "jobs.Job"}
        ),
        "has no manifest": lambda parts: parts.pop(MANIFEST),
        "jobs.Job.jsonl” was changed": lambda parts: jobs(parts, b'"rank":', b'"rank": '),
        "table jobs.Job was changed": lambda parts: jobs(parts, b'"urgency":0', b'"urgency":9'),
        "jobs.Damage.jsonl” is missing": lambda parts: parts.pop("tables/jobs.Damage.jsonl"),
        "does not belong in it: “../../evil.py”": lambda parts: parts.update({"../../evil.py": b"x"}),
        "does not belong in it: “/etc/evil”": lambda parts: parts.update({"/etc/evil": b"x"}),
        "-small.jpg was changed": lambda parts: parts.update({photo: parts[photo][:-1] + b"?"}),
    }
    for sentence, change in plainly.items():
        refused(shops.spoiled(archive, change), sentence)
    honestly = {
        "was changed: its contents no longer give its digest": lambda parts: cover_line(
            parts, lambda covers: covers[0].update(contents=covers[0]["contents"].replace("cut", "rip"))
        ),
        "does not follow the cover before it": lambda parts: cover_line(parts, again),
        "chain of covers is broken": lambda parts: cover_line(
            parts, lambda covers: covers[0].update(number=7)
        ),
        "changed beside its contents": lambda parts: cover_line(
            parts, lambda covers: covers[0].update(operation_name="Other")
        ),
        "points to a record that is not there": lambda parts: jobs(
            parts, b'"customer_id":', b'"customer_id":9'
        ),
        "should be true or false": lambda parts: jobs(parts, b'"is_open":false', b'"is_open":0'),
        "Record 1 of jobs.Job is not one": lambda parts: parts.update({"tables/jobs.Job.jsonl": b"[1]\n"}),
        "Record 1 of jobs.Job is not one.": lambda parts: parts.update({"tables/jobs.Job.jsonl": b"{\n"}),
        "longer than any record, or cut off": lambda parts: jobs(parts, b"}\n", b"}"),
        "No record names the file": lambda parts: parts.update({"tables/jobs.Photo.jsonl": b""}),
        "has other fields than it should": lambda parts: jobs(parts, b'"rank":', b'"rang":'),
        "would be given twice": lambda parts: parts.update({"tables/shop.Counter.jsonl": b""}),
        "same key": lambda parts: parts.update(
            {"tables/jobs.Customer.jsonl": parts["tables/jobs.Customer.jsonl"] * 2}
        ),
        "Nobody in this archive is an owner": lambda parts: parts.update(
            {"tables/shop.Staff.jsonl": parts["tables/shop.Staff.jsonl"].replace(b'"owner"', b'"bench"')}
        ),
        "a name that this program never gives": lambda parts: parts.update(
            {"tables/jobs.Photo.jsonl": parts["tables/jobs.Photo.jsonl"].replace(b'"key":"', b'"key":"../')}
        ),
    }
    for sentence, change in honestly.items():
        refused(shops.spoiled(archive, change, honest=True), sentence)


def again(covers):
    """A second cover that does not know of the first."""
    from shoprepair.cover import record

    other = covers[0] | {"id": covers[0]["id"] + 1, "number": 2, "previous": "0" * 64}
    other["digest"] = record.digest(other["previous"], other["contents"])
    covers.append(other)


def test_a_part_that_is_there_twice_and_one_made_to_fill_the_disk_are_refused(archive):
    twice = io.BytesIO(archive.read_bytes())
    with ZipFile(twice, "a") as other, pytest.warns(UserWarning, match="Duplicate name"):
        other.writestr("tables/jobs.Job.jsonl", b"")
    refused(twice, "same name, “tables/jobs.Job.jsonl”")
    bomb = shops.spoiled(archive, lambda parts: parts.update({"tables/jobs.Job.jsonl": bytes(20_000_000)}))
    refused(bomb, "far more than it holds")


def test_an_archive_whose_photos_the_disk_has_no_room_for_is_refused(archive, monkeypatch):
    monkeypatch.setattr(opening.shutil, "disk_usage", lambda _at: type("Usage", (), {"free": 10}))
    refused(archive, "more than this disk has left")


def test_a_manifest_larger_than_any_and_more_parts_than_any_shop_has_are_not_read(archive, monkeypatch):
    for bound, sentence in (
        ("LARGEST_MANIFEST", "larger than any manifest"),
        ("LONGEST_LINE", "longer than any record"),
        ("MOST_ENTRIES", "more than any shop"),
    ):
        with monkeypatch.context() as smaller:
            smaller.setattr(opening, bound, 5)
            refused(archive, sentence)


def test_files_that_were_written_go_again_when_the_rows_do_not_stay(archive, settings, monkeypatch):
    def full(*_args):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    refused(archive, "disk did not take it")
    assert _files(settings.MEDIA_ROOT) == []


def refused(source, sentence):
    if isinstance(source, io.BytesIO):
        source.seek(0)
    with pytest.raises(ArchiveRefused) as refusal:
        bring_in(source)
    assert sentence in str(refusal.value)
    assert not Staff.objects.exists()
    assert not JournalEntry.objects.exists()
    assert not Counter.objects.exists()


def test_whoever_began_the_empty_shop_may_be_logged_in_with_a_pin_and_a_phone(archive, client):
    owner = people.first_owner(shop_name="New", name="Runa", username="runa", password=PASSWORD)
    client.force_login(owner)
    pins.give(owner, "2580", who=owner)
    second_factor.begin(owner)
    second_factor.new_codes(owner)
    with transaction.atomic():
        brought = bring_in(archive, password=NEW_PASSWORD)
        connection.check_constraints()

    assert not (LogIn.objects.exists())
    assert not (Pin.objects.exists())
    assert not (TOTPDevice.objects.exists())
    assert client.get("/office/").status_code == 302
    assert brought.owner.check_password(NEW_PASSWORD)
