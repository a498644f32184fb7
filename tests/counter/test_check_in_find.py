import pytest
from django.urls import reverse

from shoprepair.jobs import checkin, stages
from shoprepair.jobs.models import Job, Stage
from tests.counter.checking_in import HTMX, desk, enquiry, somebody
from tests.factories import CustomerFactory, JobFactory

pytestmark = pytest.mark.django_db

HTML = '<b onclick="x()">Ida</b> & "Sons"'


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


@pytest.fixture(params=["counter", "bench", "owner"])
def anyone(request, as_person):
    """Whoever works in the shop may check gear in."""
    return as_person(request.getfixturevalue(request.param))


def start(client, customer, inflatable, key="k1"):
    fields = {"customer": customer.pk, "inflatable": inflatable.pk, "key": key}
    return client.post(reverse("check-in-start"), fields)


def test_everybody_in_the_shop_may_check_in(anyone):
    customer, inflatable = somebody()
    assert "Ida Quist" in anyone.get(reverse("check-in"), {"q": "ida"}).content.decode()
    assert anyone.get(start(anyone, customer, inflatable).url).status_code == 200


def test_a_stranger_is_sent_to_log_in(stranger, counter):
    job = enquiry(counter)
    pages = [
        reverse("check-in"),
        reverse("search"),
        reverse("check-in-customer"),
        reverse("check-in-gear", args=[job.customer.pk]),
        desk(job),
        reverse("job-checked-in", args=[job.number]),
        reverse("my-units"),
    ]
    for page in pages:
        assert stranger.get(page).url.startswith(reverse("login"))
    assert stranger.post(reverse("check-in-start")).url.startswith(reverse("login"))
    assert stranger.post(reverse("damage-pin", args=[job.number])).url.startswith(reverse("login"))


@pytest.mark.parametrize("text", ["ida", "QUIST", "00412", "pt-00412", "0199"])
def test_a_few_letters_of_anything_known_find_the_customer_with_their_gear(client, text):
    somebody(phone="+1 555 0199")
    page = client.get(reverse("check-in"), {"q": text}).content.decode()
    assert "Ida Quist" in page
    assert "PT-00412" in page
    assert 'name="inflatable"' in page


def test_while_typing_only_what_was_found_is_sent(client):
    somebody()
    fragment = client.get(reverse("check-in"), {"q": "ida"}, **HTMX)
    assert "<html" not in fragment.content.decode()
    assert "Ida Quist" in fragment.content.decode()
    assert "HX-Request" in fragment["Vary"]


def test_nobody_found_says_what_to_do_next_and_keeps_what_was_typed(client):
    page = client.get(reverse("check-in"), {"q": "Oda Tveit"}).content.decode()
    assert "Nobody by" in page
    assert f"{reverse('check-in-customer')}?name=Oda%20Tveit" in page
    assert "?phone=5550134" in client.get(reverse("check-in"), {"q": "5550134"}).content.decode()
    assert (
        "?email=oda%40example.org"
        in client.get(reverse("check-in"), {"q": "oda@example.org"}).content.decode()
    )


def test_names_are_shown_as_text_whatever_is_written_in_them(client):
    customer, _ = somebody(name=HTML, serial="<i>9</i>")
    for page in (
        client.get(reverse("check-in"), {"q": "ida"}),
        client.get(reverse("check-in"), {"q": HTML}),
        client.get(reverse("search"), {"q": HTML}),
        client.get(reverse("check-in-gear", args=[customer.pk])),
    ):
        assert "<b onclick" not in page.content.decode()
        assert "<i>9" not in page.content.decode()


def test_more_than_fit_says_to_type_another_letter(client):
    for n in range(14):
        somebody(name=f"Ida Quist {n}", serial=f"PT-{n:05}")
    page = client.get(reverse("check-in"), {"q": "ida"}).content.decode()
    assert page.count('class="find"') == 12
    assert "Type another letter" in page


def test_finding_asks_as_many_statements_for_three_customers_as_for_one(client, django_assert_num_queries):
    somebody(name="Ida Quist", serial="PT-1")
    client.get(reverse("check-in"), {"q": "ida"}, **HTMX)
    counts = []
    for n in (2, 3, 4):
        with django_assert_num_queries(7) as asked:
            client.get(reverse("check-in"), {"q": "ida"}, **HTMX)
        counts.append(len(asked))
        _, inflatable = somebody(name=f"Ida Quist {n}", serial=f"PT-{n}")
        inflatable.pattern = checkin.Pattern.objects.first()
        inflatable.save()
    assert len(set(counts)) == 1


def test_a_tap_on_the_gear_begins_a_visit(client, counter):
    customer, inflatable = somebody()
    answer = start(client, customer, inflatable)
    job = Job.objects.get()
    assert answer.url == desk(job)
    assert (job.customer, job.inflatable, job.stage) == (customer, inflatable, Stage.ENQUIRY)


def test_tapping_twice_or_coming_back_leads_to_the_same_visit(client):
    customer, inflatable = somebody()
    first = start(client, customer, inflatable, key="k1").url
    assert start(client, customer, inflatable, key="k1").url == first
    assert start(client, customer, inflatable, key="k2").url == first
    assert Job.objects.count() == 1


def test_gear_that_is_in_the_shop_leads_to_its_job_instead(client, counter):
    customer, inflatable = somebody()
    job = JobFactory(customer=customer, inflatable=inflatable, stage=Stage.ASSESSED)
    page = client.get(reverse("check-in"), {"q": "ida"}).content.decode()
    assert f"Here: job {job}, assessed" in page
    assert f'href="{job.get_absolute_url()}"' in page
    assert 'name="inflatable"' not in page


def test_gear_that_was_here_before_says_when(client, counter):
    customer, inflatable = somebody()
    job = checkin.start(customer, inflatable, who=counter)
    stages.move(job, Stage.WITHDRAWN, who=counter, reason="they came only to ask")
    assert (
        f"last here {job.received_at:%b %Y}" in client.get(reverse("check-in"), {"q": "ida"}).content.decode()
    )


def test_a_check_in_that_was_begun_can_be_gone_on_with(client, counter):
    job = enquiry(counter)
    page = client.get(reverse("check-in")).content.decode()
    assert f'href="{desk(job)}"' in page
    assert f"Go on with job {job}" in client.get(reverse("check-in"), {"q": "ida"}).content.decode()


def test_a_tap_with_nonsense_finds_nothing_and_makes_nothing(client):
    for customer, inflatable in [("", ""), ("x", "1"), ("99999999999999999999", "1"), ("1", "2")]:
        fields = {"customer": customer, "inflatable": inflatable}
        assert client.post(reverse("check-in-start"), fields).status_code == 404
    assert client.get(reverse("check-in-start")).status_code == 405
    assert not Job.objects.exists()


def test_the_bars_search_lists_the_jobs_as_well(client, counter):
    job = enquiry(counter)
    page = client.get(reverse("search"), {"q": str(job)}).content.decode()
    assert f'href="{job.get_absolute_url()}"' in page
    assert "found by" in page
    fragment = client.get(reverse("search"), {"q": str(job)}, **HTMX).content.decode()
    assert "<html" not in fragment
    assert f'href="{job.get_absolute_url()}"' in fragment


def test_a_customer_without_gear_offers_to_add_some(client):
    customer = CustomerFactory(name="Bram Okoye")
    checkin.search.index(customer)
    page = client.get(reverse("check-in"), {"q": "bram"}).content.decode()
    assert f"{reverse('check-in-gear', args=[customer.pk])}#new" in page
