import pytest
from django.db import connection

from shoprepair.jobs import checkin, search
from shoprepair.jobs.expected import is_away
from shoprepair.jobs.models import Customer, SearchWord
from shoprepair.shop.models import Staff
from tests.enquiries import EnquiryFactory
from tests.factories import CustomerFactory, JobFactory, OwnershipFactory, PatternFactory

pytestmark = pytest.mark.django_db


def known(name: str, **facts: str) -> Customer:
    customer = CustomerFactory(name=name, **({"phone": ""} | facts))
    search.index(customer)
    return customer


def names(text: str) -> list[str]:
    return [found.customer.name for found in search.find(text)]


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("Jürgen Müllner", "müll"),
        ("Jürgen Müllner", "MULLNER jur"),
        ("Søren Østgård", "sor ostg"),
        ("Søren Østgård", "ØST"),
        ("Łucja Żelska", "lucja zel"),
        ("İpek Şanlı", "ipek sanli"),
        ("Fien Straßner", "strassner"),
        ("Fionn O’Darragh", "odarr"),
        ("Fionn O’Darragh", "o'darragh"),
        ("Fionn O’Darragh", "darragh"),
        ("Anne-Mette Voll", "mette"),
        ("Nguyễn Thảo Vi", "nguyen thao"),
        ("Йордан Жеков", "йорд"),
        ("Йордан Жеков", "ЖЕКОВ"),
        ("שִׁירָה לבנון", "שירה"),
        ("לַיְלָה نُور", "نور"),
        ("أمينة الحدّاد", "امينة الحداد"),
        ("佐藤 凪", "佐"),
        ("Ωρίων Παπά", "ωριων"),
    ],
)
def test_a_name_is_found_by_its_beginnings_in_any_script(name: str, typed: str) -> None:
    known("Somebody Else")
    known(name)
    assert names(typed) == [name]


def test_nothing_typed_finds_nothing() -> None:
    known("Ilka Sandvoort")
    for typed in ("", "   ", "…", "%", "_", "'"):
        assert names(typed) == []


def test_every_word_must_match() -> None:
    known("Ilka Sandvoort")
    known("Ilka Brandal")
    assert names("ilka") == ["Ilka Brandal", "Ilka Sandvoort"]
    assert names("ilka sand") == ["Ilka Sandvoort"]
    assert names("ilka x") == []


def test_a_word_is_found_by_its_beginning_and_not_by_its_middle() -> None:
    known("Ilka Sandvoort")
    assert names("voort") == []


@pytest.mark.parametrize("typed", ["+1 555 0134", "15550134", "5550134", "0134", "555 01", "(555) 0134"])
def test_a_phone_number_is_found_from_any_digit_on(typed: str) -> None:
    known("Ilka Sandvoort", phone="+1 (555) 0134")
    known("Runa Selvaag", phone="+1 (556) 0199")
    assert names(typed) == ["Ilka Sandvoort"]


@pytest.mark.parametrize("typed", ["ilka.s@strand.example", "ILKA.S@str", "@strand", "strand", "ilka"])
def test_an_e_mail_is_found_by_its_beginning_name_or_host(typed: str) -> None:
    known("I. Sandvoort", email="ilka.s@strand.example")
    assert names(typed) == ["I. Sandvoort"]


@pytest.mark.parametrize("typed", ["PT-00412", "pt00412", "00412", "pt 00412", "pt-004"])
def test_a_serial_is_found_with_or_without_its_dashes(typed: str, counter: Staff) -> None:
    customer = known("Ilka Sandvoort")
    checkin.add_inflatable(customer, PatternFactory(), serial="PT-00412", who=counter)
    [found] = search.find(typed)
    assert (found.customer, found.why) == (customer, "PT-00412")


def test_a_job_is_found_by_its_number_with_or_without_zeros() -> None:
    job = JobFactory(number=41)
    search.index(job.customer)
    for typed in ("41", "0041"):
        [found] = search.find(typed)
        assert (found.jobs, found.why) == ((job,), "job 0041")


def test_why_somebody_was_found_is_said_unless_the_name_shows_it() -> None:
    known("Ilka Sandvoort", phone="+1 555 0134", email="ilka@strand.example")
    assert search.find("ilka")[0].why == ""
    assert search.find("ilka 0134")[0].why == "+1 555 0134"
    assert search.find("strand")[0].why == "ilka@strand.example"


def test_what_somebody_sold_is_not_theirs_any_more() -> None:
    ownership = OwnershipFactory(inflatable__serial="AB-12", until="2026-05-04T09:00:00Z")
    new = OwnershipFactory(inflatable=ownership.inflatable)
    for customer in (ownership.customer, new.customer):
        search.index(customer)
    assert [found.customer for found in search.find("ab12")] == [new.customer]


def test_a_whole_word_comes_before_a_beginning() -> None:
    known("Annika Voll")
    known("Ann Voll")
    assert names("ann") == ["Ann Voll", "Annika Voll"]


def test_who_has_a_job_here_comes_before_who_had_one_and_who_never_had() -> None:
    for name in ("Ilka A", "Ilka B", "Ilka C"):
        known(name)
    JobFactory(customer=Customer.objects.get(name="Ilka C"))
    JobFactory(customer=Customer.objects.get(name="Ilka B"), stage="handed-back", is_open=False)
    assert names("ilka") == ["Ilka C", "Ilka B", "Ilka A"]


def test_the_open_jobs_of_somebody_come_first() -> None:
    ownership = OwnershipFactory()
    facts = {"customer": ownership.customer, "inflatable": ownership.inflatable}
    open_job = JobFactory(**facts)
    closed = JobFactory(**facts, stage="handed-back", is_open=False)
    search.index(ownership.customer)
    [found] = search.find(ownership.customer.phone)
    assert found.jobs == (open_job, closed)
    assert found.inflatables == (ownership.inflatable,)


def test_a_renamed_customer_is_found_by_the_new_name_alone() -> None:
    customer = known("Ilka Sandvoort")
    customer.name = "Ilka Brandal"
    customer.save()
    search.index(customer)
    assert (names("sandvoort"), names("brandal")) == ([], ["Ilka Brandal"])
    assert set(SearchWord.objects.values_list("word", flat=True)) == {"ilka", "brandal"}


def test_very_long_words_neither_fail_nor_fill_the_index() -> None:
    known("I" * 120, email=f"{'m' * 60}@{'h' * 60}.example")
    assert names("i" * 400) == ["I" * 120]
    assert max(map(len, SearchWord.objects.values_list("word", flat=True))) <= search.LONGEST_WORD


def test_no_more_are_shown_than_asked_for() -> None:
    for number in range(8):
        known(f"Ilka Nummer {number}")
    assert len(search.find("ilka", limit=5)) == 5


@pytest.mark.parametrize("customers", [1, 5])
def test_a_search_costs_the_same_with_few_and_with_many(customers: int, django_assert_num_queries) -> None:
    for number in range(customers):
        customer = known(f"Ilka Nummer {number}")
        JobFactory(customer=customer)
    with django_assert_num_queries(4):
        found = search.find("ilka num")
        assert [job.inflatable.pattern.name for one in found for job in one.jobs]


def test_of_all_that_is_found_the_search_knows_what_is_still_on_its_way(django_assert_num_queries) -> None:
    customer = known("Ilka Sandvoort")
    jobs = [JobFactory(customer=customer) for _ in range(3)]
    EnquiryFactory(job=jobs[0])
    EnquiryFactory(job=jobs[1], came_at=jobs[1].received_at)
    with django_assert_num_queries(4) as asked:
        [found] = search.find("ilka")
        away = {job.number for job in found.jobs if is_away(job)}
    assert away == {jobs[0].number}
    # Joined to all visits that are found, the enquiries of all years are read to their end.
    assert not [each for each in asked.captured_queries if 'JOIN "jobs_enquiry"' in each["sql"]]


def test_the_search_seeks_in_its_index() -> None:
    rows = SearchWord.objects.filter(search._begins("ilka")).order_by("word").values_list("customer")[:60]
    plan = rows.explain()
    if connection.vendor == "sqlite":
        assert "USING COVERING INDEX search_by_beginning (word>? AND word<?)" in plan
        assert "TEMP B-TREE" not in plan
