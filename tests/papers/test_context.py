import pytest

from shoprepair.papers.context import (
    first_name,
    in_runs,
    is_for_everybody,
    letterhead,
    listed,
    phone_end,
    printed_job,
    sheet_address,
)
from tests.papers.conftest import BASE_URL


@pytest.mark.parametrize(
    ("name", "printed"),
    [
        ("Ida Quist", "Ida"),
        ("Quist, Ida", "Ida"),
        ("  Ida   Marie  Quist ", "Ida"),
        ("Dr. Ida Quist", "Ida"),
        ("Prof Ida Quist", "Ida"),
        ("B. Okafor", "B."),
        ("Ida", "Ida"),
        ("Quist,", "Quist"),
        ("نورة العتيبي", "نورة"),
        ("عبد الرحمن الساحلي", "عبد الرحمن"),
        ("أبو الريح بن موجان", "أبو الريح"),
        ("Abdul Karim Haddan", "Abdul Karim"),
        ("בת שבע אבן", "בת שבע"),
        ("Ben Quist", "Ben"),
        ("Mr Quist", "Mr Quist"),
        ("", ""),
    ],
)
def test_a_paper_knows_the_customer_by_first_name_alone(name, printed):
    assert first_name(name) == printed


def test_an_endless_name_is_cut_where_a_label_ends():
    assert first_name("I" * 120) == "I" * 39 + "…"


@pytest.mark.parametrize(
    ("phone", "end"),
    [("+1 555 0142 318", "318"), ("555-014.2", "142"), ("123", ""), ("12345", ""), ("", ""), ("ask Ida", "")],
)
def test_of_a_phone_only_the_last_three_digits_are_printed_and_none_of_a_short_one(phone, end):
    assert phone_end(phone) == end


def test_dates_are_days_in_the_shops_own_time_zone(make_job, shop):
    shop.time_zone = "Pacific/Auckland"

    printed = printed_job(make_job(), shop)

    assert printed.received == "Sat 21 Nov 2026"
    assert printed.promised == "Tue 1 Dec 2026"


def test_what_came_along_is_listed_in_a_persons_own_words(make_job, shop):
    came = printed_job(make_job(came_with=["bag", "a red sock"], arrived_wet=True), shop)

    assert came.came_with == ("bag", "a red sock")
    assert came.wet


def test_not_said_whether_wet_is_not_wet(make_job, shop):
    assert not printed_job(make_job(arrived_wet=None), shop).wet


def test_the_letterhead_has_the_address_line_by_line_and_no_empty_one(shop):
    shop.address = "3 Quay Road\n\n  Harbour 4210 "

    assert letterhead(shop).lines == ("3 Quay Road", "Harbour 4210", "555 0100")


@pytest.mark.parametrize("base_url", [BASE_URL, f"{BASE_URL}/"])
def test_the_code_leads_to_the_job_sheet(make_job, base_url):
    job = make_job(number=412)

    assert sheet_address(job, base_url) == f"{BASE_URL}/jobs/412/"


@pytest.mark.parametrize(
    ("words", "said"),
    [((), ""), (("bag",), "bag"), (("bag", "pump"), "bag and pump"), (("a", "b", "c"), "a, b and c")],
)
def test_things_are_listed_as_a_person_says_them(words, said):
    assert listed(words) == said


@pytest.mark.parametrize(
    ("numbers", "said"),
    [
        ([], []),
        ([4], ["4"]),
        ([1, 2], ["1", "2"]),
        ([1, 2, 3], ["1–3"]),
        (range(1, 33), ["1–32"]),
        ([9, 3, 2, 1, 7, 8, 12, 2], ["1–3", "7–9", "12"]),
        ([1, 2, 5, 6, 7, 8, 10], ["1", "2", "5–8", "10"]),
    ],
)
def test_three_numbers_and_more_in_a_row_are_told_as_a_run(numbers, said):
    assert in_runs(numbers) == said


@pytest.mark.parametrize(
    ("address", "everybody"),
    [
        ("https://shop.example/c/key/", True),
        ("https://8.8.8.8/c/key/", True),
        ("http://127.0.0.1:8000/", False),
        ("http://192.168.1.20:8000/", False),
        ("http://[::1]/", False),
        ("http://localhost:8000/", False),
        ("http://tablet/", False),
        ("http://loft.local/", False),
        ("", False),
    ],
)
def test_an_address_of_the_shops_own_network_is_for_nobody_at_home(address, everybody):
    assert is_for_everybody(address) is everybody
