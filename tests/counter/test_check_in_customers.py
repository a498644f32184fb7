import re

import pytest
from django.urls import reverse

from shoprepair.gear.models import Inflatable, Pattern
from shoprepair.jobs.models import Customer, Job
from tests.counter.checking_in import desk, somebody
from tests.factories import CustomerFactory, PatternFactory

pytestmark = pytest.mark.django_db

MEASURED = {
    "pattern": "measured",
    "kind": "wing",
    "support": "handles",
    "span": "3,4",
    "diameter_centre": "230",
    "diameter_tip": "11 cm",
    "pressure": "7 psi",
    "struts": "3",
    "pumping": "separate",
    "name": "old grey one",
}


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


def add(client, **fields):
    return client.post(reverse("check-in-customer"), {"key": "k1", **fields})


def bring(client, customer, **fields):
    return client.post(reverse("check-in-gear", args=[customer.pk]), {"key": "k1", **fields})


def test_what_was_searched_for_in_vain_stands_in_the_form(client):
    page = client.get(reverse("check-in-customer"), {"name": "Oda Tveit"}).content.decode()
    assert 'value="Oda Tveit"' in page


def test_a_new_customer_goes_straight_on_to_their_gear(client):
    answer = add(client, name="  Oda   Tveit ", phone="+1 555 0134")
    customer = Customer.objects.get()
    assert customer.name == "Oda Tveit"
    assert answer.url == reverse("check-in-gear", args=[customer.pk])


def test_adding_twice_adds_once(client):
    assert add(client, name="Oda Tveit").url == add(client, name="Oda Tveit", sure="yes").url
    assert Customer.objects.count() == 1


@pytest.mark.parametrize(
    "fields",
    [
        {"name": "quist, IDA"},
        {"name": "I. Q.", "phone": "0555 0199 000"},
        {"name": "I", "email": "IDA@example.org"},
    ],
)
def test_a_likely_double_is_asked_about_kindly(client, fields):
    known, _ = somebody(phone="+47 5550199000", email="ida@example.org")
    answer = add(client, **fields)
    assert answer.status_code == 422
    assert "Is it perhaps this customer?" in answer.content.decode()
    assert reverse("check-in-gear", args=[known.pk]) in answer.content.decode()
    assert Customer.objects.count() == 1


def test_somebody_who_only_looks_like_a_double_is_added_on_request(client):
    somebody()
    assert add(client, name="Ida Quist", sure="yes").status_code == 302
    assert Customer.objects.count() == 2


def test_what_is_wrong_stands_beside_its_field_and_the_rest_stays(client):
    answer = add(client, name="", phone="12", email="nowhere", note="<script>wet</script>")
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Write the customer" in page
    assert "&lt;script&gt;wet" in page
    answer = add(client, name="Oda", phone="12", email="nowhere")
    page = answer.content.decode()
    assert "A phone number has 5 to 15 digits" in page
    assert 'value="nowhere"' in page
    assert not Customer.objects.exists()


def test_gear_of_the_library_begins_the_visit_at_once(client):
    customer, pattern = CustomerFactory(), PatternFactory()
    answer = bring(client, customer, pattern=pattern.pk, serial=" PT 77 ", colour="coral", bought_year="2024")
    inflatable, job = Inflatable.objects.get(), Job.objects.get()
    assert (inflatable.pattern, inflatable.serial, inflatable.colour) == (pattern, "PT 77", "coral")
    assert (inflatable.bought_year, inflatable.condition) == (2024, "sound")
    assert (job.inflatable, answer.url) == (inflatable, desk(job))


def test_sending_the_gear_twice_begins_one_visit(client):
    customer, pattern = CustomerFactory(), PatternFactory()
    first = bring(client, customer, pattern=pattern.pk).url
    assert bring(client, customer, pattern=pattern.pk).url == first
    assert (Inflatable.objects.count(), Job.objects.count()) == (1, 1)


def test_gear_that_the_library_lacks_is_measured_here(client):
    customer = CustomerFactory()
    PatternFactory()
    assert bring(client, customer, **MEASURED).status_code == 302
    pattern = Inflatable.objects.get().pattern
    assert (pattern.name, pattern.measured_here, pattern.pumping) == ("old grey one", True, "separate")
    assert pattern.span_m == pytest.approx(3.4)
    assert pattern.rated_pressure_pa == pytest.approx(48263, abs=1)
    assert pattern.rated_pressure_typed == "7 psi"
    edge = pattern.tubes.get(kind="leading edge")
    assert (edge.diameter_root_m, edge.diameter_tip_m) == (pytest.approx(0.23), pytest.approx(0.11))
    assert client.get(desk(Job.objects.get())).status_code == 200


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"pressure": "70 bar"}, "did you mean"),
        ({"pressure": "much"}, "cannot be read as a pressure"),
        ({"span": ""}, "This is needed to draw it"),
        ({"span": "3400"}, "A span lies between 1 and 14 m"),
        ({"diameter_tip": "4 m"}, "At the tip a leading edge measures"),
        ({"struts": "two"}, "Count them"),
        ({"struts": "2"}, "struts are odd in number"),
        ({"bought_year": "last"}, "four figures"),
        ({"bought_year": "1066"}, "The year lies between"),
        ({"pattern": ""}, "Choose the model"),
        ({"pattern": "99999"}, "not in the library any more"),
    ],
)
def test_a_figure_that_cannot_be_is_said_so_and_the_rest_stays(client, wrong, sentence):
    PatternFactory()
    before = Pattern.objects.count()
    answer = bring(client, CustomerFactory(), **{**MEASURED, "colour": "sea green", **wrong})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in page
    assert 'value="sea green"' in page
    assert (Pattern.objects.count(), Inflatable.objects.count()) == (before, 0)


def test_a_serial_that_exists_leads_to_the_gear_that_bears_it(client):
    _, known = somebody(serial="PT-00412")
    buyer = CustomerFactory(name="Bram Okoye")
    answer = bring(client, buyer, pattern=known.pattern.pk, serial="pt-00412")
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "it belongs to Ida Quist" in page
    assert f'name="inflatable" value="{known.pk}"' in page
    assert Inflatable.objects.count() == 1
    assert f"{reverse('transfer-offer', args=[known.pk])}?taker={buyer.pk}" in page
    fields = {"customer": buyer.pk, "inflatable": known.pk, "brings": "yes"}
    client.post(reverse("check-in-start"), fields)
    assert Job.objects.get().customer == buyer


def test_a_customer_who_is_not_there_is_not_found(client):
    assert client.get(reverse("check-in-gear", args=[404])).status_code == 404


def test_what_is_typed_of_somebody_new_is_kept_apart_for_each_search(client):
    first = client.get(reverse("check-in-customer"), {"name": "Ilka"}).content.decode()
    second = client.get(reverse("check-in-customer"), {"name": "Bo"}).content.decode()

    assert 'data-keep="new-customer-nameilka"' in first
    assert 'data-keep="new-customer-namebo"' in second


def test_all_that_is_wrong_with_a_customer_is_marked_at_once(client):
    page = add(client, name="", phone="1", email="not an address").content.decode()

    assert re.findall(r'id="id_(\w+)_error"', page) == ["name", "phone", "email"]


def test_all_that_is_wrong_with_gear_is_marked_at_once(client):
    page = bring(client, CustomerFactory(), serial="x" * 200, bought_year="1066").content.decode()

    assert "Choose the model, or measure it here." in page
    assert "At most 40 letters and signs fit here" in page
    assert "The year lies between 1990 and" in page


def test_what_is_no_address_is_refused_beside_its_field_before_a_double_is_asked_about(client):
    known, _ = somebody(phone="+47 5550199000", email="ida@example.org")
    page = add(client, name="Ida Quist", email="no address").content.decode()

    assert re.findall(r'id="id_(\w+)_error"', page) == ["email"]
    assert "This is not a whole e-mail address. Write it like name@place.example." in page
    assert "Is it perhaps this customer?" not in page
    assert add(client, name="Ida Quist", email="no address", sure="yes").status_code == 422
    assert list(Customer.objects.all()) == [known]
