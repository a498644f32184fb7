import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from shoprepair.jobs import damages
from shoprepair.jobs.models import Customer, Enquiry, Job, Stage
from shoprepair.jobs.search import index
from shoprepair.shop import opening
from shoprepair.shop.settings import current
from tests.counter.checking_in import HTMX, answer, desk
from tests.enquiries import asked
from tests.factories import (
    CustomerFactory,
    InflatableFactory,
    JobFactory,
    KiteFactory,
    OwnershipFactory,
    PatternFactory,
)

pytestmark = pytest.mark.django_db
LONG = "Wilhelmina-Theodora von Hohenfelden-Oosterwijk zu Brandenhavelaar"


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


def known(name: str = "Jorunn Havelaar", phone: str = "+1 555 0134") -> Customer:
    customer = CustomerFactory(name=name, phone=phone)
    OwnershipFactory(customer=customer, inflatable=InflatableFactory(serial="KT-00071"))
    index(customer)
    return customer


def page(client, address: str) -> str:
    return client.get(address).content.decode()


def away(rack: str) -> str:
    """The part of the rack that shows what is not here yet."""
    return rack[rack.index('id="not-here"') :]


def test_an_enquiry_hangs_apart_from_what_is_in_the_shop(client):
    here = JobFactory(stage=Stage.CHECKED_IN)
    job = asked(comes="by-post")
    shown = page(client, "/")
    rail, apart = shown.split('id="not-here"')
    assert f">{here}<" in rail
    assert f">{job}<" not in rail[rail.index('id="rack"') :]
    for words in (f">{job}<", "Enquiry", "not here yet", "comes by post", "asked today"):
        assert words in apart
    assert "We said: <b>Do not inflate it; bring it in</b>" in apart
    assert "2 open, 1 of them not here yet; what would fail first hangs in front" in shown
    assert re.search(r"Not here yet <[^>]*>1<", shown)


def test_its_one_way_on_is_check_in_and_it_is_never_the_first_thing_to_do(client):
    job = asked()
    apart = away(page(client, "/"))
    button = re.search(r'<a class="([^"]*row-action[^"]*)"\s+href="([^"]*)">Check in<', apart)
    assert button
    assert button.group(2) == desk(job)
    assert "is-primary" not in button.group(1)


def test_the_stage_enquiry_shows_both_what_was_begun_here_and_what_was_asked(client):
    begun, job = JobFactory(), asked()
    shown = page(client, "/?stage=enquiry")
    assert "not-here-title" not in shown
    assert f">{begun}<" in shown
    assert f">{job}<" in shown
    assert "Go on with check-in" in shown


def test_the_rack_asks_as_often_for_three_enquiries_as_for_one(client, django_assert_num_queries):
    asked("Ida Quist")
    page(client, "/")
    # Of every page three; the rail, which is empty, the counts, enquiries with the newest jobs, all damages.
    with django_assert_num_queries(5):
        page(client, "/")
    for _ in range(2):
        asked("Oda Tveit", cuts=2)
    with django_assert_num_queries(5):
        page(client, "/")


def test_the_desk_shows_what_was_told_beside_what_is_asked_now(client):
    job = asked(words="It hit a pier.\nCall me <b>late</b>.", cuts=2)
    Enquiry.objects.filter(job=job).update(
        language="de", charge={"low": "95.00", "high": "185.00", "currency": "USD"}
    )
    shown = page(client, desk(job))
    assert "As the customer told it" in shown
    assert "It hit a pier." in shown
    assert "&lt;b&gt;late" in shown
    assert "in German" in shown
    assert "we named $95.00 to $185.00" in shown
    assert shown.count("Cut, up to 25 mm, front tube near the centre") == 3
    panel = shown[shown.index('id="panel"') :]
    assert "The customer said" in panel
    assert "Damage 1" in panel


def test_what_the_shop_finds_stands_beside_what_the_customer_said(client):
    job = asked()
    (damage,) = damages.live(job)
    told = damage.told
    answer(client, damage, kind="seam opened", length="80 mm")
    damage.refresh_from_db()
    assert (damage.kind, damage.told) == ("seam opened", told)
    for shown in (page(client, desk(job)), page(client, job.get_absolute_url())):
        assert "The customer said" in shown
        assert "Cut, up to 25 mm" in shown
        assert "80 mm" in shown


def test_a_tap_says_who_it_is_and_which_gear(client):
    customer = known()
    gear = customer.ownerships.get().inflatable
    job = asked("J. Havelaar", phone="+1 555 0134", cuts=3)
    shown = page(client, desk(job))
    assert "Is it one of these?" in shown
    assert "same phone number" in shown
    answered = client.post(
        reverse("enquiry-is", args=[job.number]), {"customer": customer.pk, "inflatable": gear.pk}
    )
    assert answered.url == f"{desk(job)}#asked"
    job.refresh_from_db()
    assert (job.customer, job.inflatable) == (customer, gear)
    settled = page(client, desk(job))
    assert "Is it one of these?" not in settled
    assert "Which model is it?" not in settled


def test_gear_that_is_here_already_leads_to_its_job_instead(client):
    customer = known()
    gear = customer.ownerships.get().inflatable
    here = JobFactory(customer=customer, inflatable=gear, stage=Stage.BENCH)
    job = asked("Jorunn Havelaar")
    assert f'class="who-tap is-here" href="{here.get_absolute_url()}"' in " ".join(
        page(client, desk(job)).split()
    )
    taken = {"customer": customer.pk, "inflatable": gear.pk}
    refused = client.post(reverse("enquiry-is", args=[job.number]), taken, follow=True).content.decode()
    assert f"It is in the shop already, as job {here}" in refused
    assert Job.objects.get(pk=job.pk).customer == job.customer


def test_somebody_whom_the_likeness_does_not_find_is_found_by_hand(client):
    known(LONG)
    job = asked("Theo")
    shown = page(client, f"{desk(job)}?who=brandenhav")
    assert f"It is <bdi>{LONG}</bdi>" in shown
    assert "Nobody known by" in page(client, f"{desk(job)}?who=zzz")


def test_once_the_model_is_chosen_every_pin_is_where_it_was_and_judged_anew(client):
    job = asked(cuts=2)
    model = PatternFactory(name="Petrel XL", span_m=4.4)
    PatternFactory(name="Everyday thing", everyday="wing-large")
    address = reverse("enquiry-model", args=[job.number])
    shown = page(client, address)
    assert "Petrel XL" in shown
    assert "Everyday thing" not in shown
    before = [damage.station for damage in damages.live(job)]
    facts = {"pattern": model.pk, "serial": "KT-00099", "condition": "faded", "key": "m1"}
    assert client.post(address, facts).url == desk(job)
    job.refresh_from_db()
    assert (job.inflatable.pattern, job.inflatable.serial) == (model, "KT-00099")
    assert [damage.station for damage in damages.live(job)] == pytest.approx(before, abs=0.005)
    assert "Which model is it?" not in page(client, desk(job))


def test_a_serial_that_is_taken_is_said_and_nothing_is_changed(client):
    known()
    job = asked()
    facts = {"pattern": PatternFactory().pk, "serial": "KT-00071", "condition": "sound", "key": "m2"}
    answered = client.post(reverse("enquiry-model", args=[job.number]), facts)
    assert answered.status_code == 422
    assert "belongs to Jorunn Havelaar" in answered.content.decode()
    job.refresh_from_db()
    assert job.inflatable.pattern.everyday


def test_a_model_without_the_part_that_is_pinned_is_refused_in_words(client, counter):
    job = asked()
    damages.pin(job, 0.0, 1.0, who=counter)
    bare = KiteFactory()
    bare.tubes.filter(kind="strut").delete()
    bare.panels.all().delete()
    facts = {"pattern": bare.pk, "condition": "sound", "key": "m3"}
    answered = client.post(reverse("enquiry-model", args=[job.number]), facts)
    assert answered.status_code == 422
    assert f"{bare.name} has no strut. Remove it first." in answered.content.decode()


def test_checking_in_goes_on_from_it_and_the_sheet_keeps_how_it_began(client):
    job = asked("Ida Quist", words="Sand in it.")
    Job.objects.filter(pk=job.pk).update(
        received_at=timezone.now() - timedelta(days=20), promised_on=timezone.localdate() - timedelta(days=10)
    )
    client.post(desk(job), {"terms": "on", "key": "c1", "promised_on": ""})
    job.refresh_from_db()
    assert job.stage == Stage.CHECKED_IN
    assert job.promised_on > timezone.localdate()
    shown = page(client, job.get_absolute_url())
    assert "Sand in it." in shown
    assert "in the shop since" in shown
    assert 'id="not-here"' not in page(client, "/")


def test_gear_on_its_way_is_proposed_for_the_day_counted_from_now(client):
    job = asked()
    Job.objects.filter(pk=job.pk).update(
        received_at=timezone.now() - timedelta(days=20), promised_on=timezone.localdate() - timedelta(days=10)
    )
    shown = page(client, desk(job))
    promised = re.search(r'name="promised_on"\s+value="([^"]*)"', shown).group(1)
    assert promised == opening.open_on(current(), timezone.localdate() + timedelta(days=10)).isoformat()


def test_the_search_at_the_counter_tells_what_is_on_its_way_from_what_was_left_unfinished(client):
    begun, job = JobFactory(), asked("Ida Quist", phone="+1 555 0177")
    shown = page(client, reverse("check-in"))
    unfinished, expected = shown.split("Asked about, and not here yet")
    assert f">{begun}<" in unfinished
    assert f">{job}<" in expected
    assert f"Asked about: check in as {job}" in page(client, reverse("check-in") + "?q=ida")


def test_a_fragment_of_the_desk_keeps_what_was_told_in_its_panel(client):
    job = asked(cuts=2)
    address = reverse("damage", args=[job.number, 2])
    assert "The customer said" in client.get(address, **HTMX).content.decode()


def test_a_stranger_says_nothing_about_an_enquiry(stranger):
    job = asked()
    for name in ("enquiry-is", "enquiry-model"):
        assert stranger.post(reverse(name, args=[job.number])).url.startswith(reverse("login"))
