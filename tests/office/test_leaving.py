"""What leaves by the office: tables, the archive, a customer's data; and erasing somebody."""

import csv
import io
import json
import re
from zipfile import ZipFile

import pytest
from django.urls import reverse

from shoprepair.jobs.models import Customer
from shoprepair.jobs.personal import Section
from shoprepair.office.personal_page import UNFOLDED
from shoprepair.office.personal_words import said
from shoprepair.shop.archive import downloads, keeping
from shoprepair.shop.archive.table_words import GROUPS
from shoprepair.shop.models import JournalEntry, Letter, Shop, Staff
from tests.factories import JobFactory
from tests.shop.archive import shops

pytestmark = pytest.mark.django_db
NEW_PASSWORD = "wet sand on the quay"


@pytest.fixture
def client_of_owner(as_person, settings, tmp_path):
    settings.MEDIA_ROOT, settings.DATA_DIR = tmp_path / "files", tmp_path
    return as_person(shops.lived_in())


def fetched(client, label, form):
    answer = client.get(reverse("export-table", args=[label, form]))
    assert answer.status_code == 200
    assert "attachment" in answer["Content-Disposition"]
    return b"".join(answer.streaming_content).decode("utf-8-sig")


def test_a_name_that_is_a_formula_leaves_csv_as_a_text_and_json_as_it_is(client_of_owner):
    rows = list(csv.DictReader(io.StringIO(fetched(client_of_owner, "jobs.Customer", "csv"))))
    assert rows[-1]["name"] == "'" + shops.ODD_NAME
    assert rows[-1]["phone"] == "'+1 555 0134"
    assert rows[-1]["note"] == "line one\r\nline two"
    held = json.loads(fetched(client_of_owner, "jobs.Customer", "json"))
    assert held[-1]["name"] == shops.ODD_NAME


def test_every_table_leaves_in_both_forms_and_nothing_that_opens_anything(client_of_owner):
    page = client_of_owner.get(reverse("leaving")).content.decode()
    staff = Staff.objects.get(username="runa")
    token = Letter.objects.get(code="ready").body.partition("/s/")[2].split("/")[0]
    assert len(token) == 43
    for table in shops.tables():
        assert reverse("export-table", args=[table.label, "csv"]) in page
        text = "".join(downloads.csv_lines(table))
        count = len(list(csv.reader(io.StringIO(text)))) - 1
        assert len(json.loads("".join(downloads.json_lines(table)))) == count == table.count()
        for secret in (staff.password, token, "token_hash", "nonce"):
            assert secret not in text
    unknown = client_of_owner.get(reverse("export-table", args=["auth.User", "csv"]))
    assert unknown.status_code == 404


def test_every_table_lies_under_one_thing_that_it_is_about_and_by_no_name_of_the_programs(client_of_owner):
    grouped = [label for _about, labels in GROUPS for label in labels]
    assert sorted(grouped) == sorted(table.label for table in shops.tables())

    read = re.sub(r"<[^>]*>", "", client_of_owner.get(reverse("leaving")).content.decode())
    assert "Enquiries and visits" in read
    assert not [label for label in grouped if label in read]


def test_the_archive_is_made_fetched_and_brought_into_an_empty_shop(
    client_of_owner, stranger, settings, tmp_path
):
    assert "None was made yet" in client_of_owner.get(reverse("archive-download")).content.decode()
    client_of_owner.post(reverse("archive"))
    client_of_owner.post(reverse("archive"))
    made = b"".join(client_of_owner.get(reverse("archive-download")).streaming_content)
    assert client_of_owner.get(reverse("archive")).status_code == 200
    assert len([each for each in tmp_path.joinpath("archives").iterdir() if each.suffix == ".zip"]) == 1
    assert "manifest.json" in ZipFile(io.BytesIO(made)).namelist()
    answer = client_of_owner.post(reverse("archive-import"), sent(made))
    assert "This shop is not empty" in answer.content.decode()

    shops.emptied()
    settings.MEDIA_ROOT = tmp_path / "new"
    assert reverse("archive-import") in stranger.get(reverse("first-run")).content.decode()
    half = stranger.post(reverse("archive-import"), sent(made[: len(made) // 2]))
    assert (half.status_code, "cut off" in half.content.decode()) == (422, True)
    answer = stranger.post(reverse("archive-import"), sent(made))
    assert (answer.status_code, answer["Location"]) == (302, reverse("login"))
    assert Staff.objects.get(username="runa").check_password(NEW_PASSWORD)
    assert stranger.get(reverse("archive-import"))["Location"].startswith(reverse("login"))


def sent(content):
    file = io.BytesIO(content)
    file.name = "shop.zip"
    return {"file": file, "password": NEW_PASSWORD, "again": NEW_PASSWORD}


def test_whoever_would_bring_an_archive_in_finds_the_way_back_also_before_there_is_anybody(
    as_person, owner, stranger
):
    page = reverse("archive-import")
    assert f'href="{reverse("leaving")}"' in as_person(owner).get(page).content.decode()

    owner.delete()
    assert f'href="{reverse("first-run")}"' in stranger.get(page).content.decode()


def test_a_second_archive_waits_for_the_first(client_of_owner):
    with keeping._alone():
        answer = client_of_owner.post(reverse("archive"))
    assert (answer.status_code, "is being made at this moment" in answer.content.decode()) == (409, True)


def test_a_customer_takes_away_what_is_held_about_them(client_of_owner):
    customer = Customer.objects.get(jobs__isnull=False)
    assert client_of_owner.get(reverse("customer-data", args=[customer.pk])).status_code == 200
    answer = client_of_owner.get(reverse("customer-data-download", args=[customer.pk]))
    taken = ZipFile(io.BytesIO(b"".join(answer.streaming_content)))
    data = json.loads(taken.read("data.json"))
    assert data["customer"][0]["name"] == customer.name
    assert {"jobs", "quotes", "invoices", "payments", "hand_backs", "covers", "letters"} <= data.keys()
    assert customer.name in taken.read("page.html").decode()


def test_of_many_visits_the_page_says_how_many_and_opens_them_when_asked(client_of_owner):
    customer = Customer.objects.get(jobs__isnull=False)
    JobFactory.create_batch(UNFOLDED, customer=customer)
    page = client_of_owner.get(reverse("customer-data", args=[customer.pk])).content.decode()
    assert re.search(r'<summary>\s*<h2 id="jobs">Visits</h2>\s*<span class="soft numeral">4</span>', page)

    taken = client_of_owner.get(reverse("customer-data-download", args=[customer.pk]))
    given = ZipFile(io.BytesIO(b"".join(taken.streaming_content))).read("page.html").decode()
    assert re.search(r'<section[^>]*>\s*<h2 id="jobs">', given)


def test_a_serial_stays_behind_a_name_from_the_right():
    gear = Section("gear", "Gear", [{"pattern": "שחף 9", "serial": "NQ-20417", "since": None}])
    plain = Section("gear", "Gear", [{"pattern": "Tern 9", "serial": "NQ-20417", "since": None}])
    heads = [rows[0].head for _of, rows in said([gear, plain])]
    assert heads == ["\N{FIRST STRONG ISOLATE}שחף 9\N{POP DIRECTIONAL ISOLATE}, NQ-20417", "Tern 9, NQ-20417"]


def test_what_an_invoice_was_for_is_said_in_its_money_and_opens_when_it_is_long():
    lines = [{"text": f"Tape a tear, damage {number}", "amount": "13.03"} for number in range(1, 31)]
    rows = [
        {"job": number, "number": number, "currency": "USD", "lines": {"parts": [{"lines": lines[:many]}]}}
        for number, many in ((1, 1), (2, 30))
    ]
    ((_of, (short, long)),) = said([Section("invoices", "Invoices", rows)])

    assert short.facts[-1][1:] == ("Tape a tear, damage 1: $13.03", False)
    assert long.facts[-1].text.endswith("damage 30: $13.03")
    assert long.facts[-1].long


def test_the_owner_erases_by_typing_the_name_and_the_journal_names_nobody(client_of_owner):
    customer = Customer.objects.get(jobs__isnull=False)
    address, name = reverse("customer-erase", args=[customer.pk]), customer.name
    wrong = client_of_owner.post(address, {"name": "Somebody else"})
    assert (wrong.status_code, Customer.objects.get(pk=customer.pk).name) == (422, name)
    assert client_of_owner.post(address, {"name": f" {name.upper()} "}).status_code == 302
    assert Customer.objects.get(pk=customer.pk).name == f"Erased customer {customer.pk}"
    entry = JournalEntry.objects.latest("pk")
    assert (entry.verb, name in entry.text) == ("customer.erased", False)
    again = client_of_owner.post(address, {"name": name})
    assert again.status_code == 422
    assert client_of_owner.get(address).status_code == 200


def test_how_long_invoices_keep_a_name_is_told_here_and_set_in_one_place_alone(client_of_owner):
    Shop.objects.update(invoice_years=7)
    page = client_of_owner.get(reverse("leaving")).content.decode()
    assert "keep the name for 7 years" in page
    assert reverse("times-kept") in page
    assert client_of_owner.post(reverse("leaving"), {"years": "8"}).status_code == 405
