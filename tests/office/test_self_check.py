"""The self-check from the owner's side: open or closed, how it is found, what was asked, who never came."""

import datetime
import re

import pytest
from django.urls import reverse
from django.utils import timezone

from shoprepair.gear import everyday
from shoprepair.jobs.models import Enquiry, SelfCheckTally, Stage
from shoprepair.shop.settings import current
from tests.factories import DamageFactory, InflatableFactory, JobFactory

pytestmark = pytest.mark.django_db
DAY = datetime.timedelta(days=1)
TOLD = "Cut, up to 25 mm, front tube, near the middle; at home."


@pytest.fixture
def client(as_person, owner):
    return as_person(owner)


def page(client, **asked) -> str:
    return " ".join(client.get(reverse("office-self-check"), asked).content.decode().split())


def asked(days=0, verdict="bring-in", **facts) -> Enquiry:
    """An enquiry of so many days ago."""
    stage = facts.pop("stage", Stage.ENQUIRY)
    inflatable = InflatableFactory(pattern=everyday.pattern("wing-medium"))
    job = JobFactory(inflatable=inflatable, stage=stage, is_open=stage != Stage.WITHDRAWN)
    DamageFactory(job=job, number=1, told={"words": TOLD, "verdict": verdict})
    sent = timezone.now() - days * DAY
    return Enquiry.objects.create(
        job=job, key=str(job.pk), sent_at=sent, advice=[{"verdict": verdict}], **facts
    )


def tally(count, days=0, **facts) -> None:
    told = {"gear": "wing-medium", "part": "front-tip", "look": "cut", "verdict": "bring-in", "rule": "r"}
    SelfCheckTally.objects.create(day=timezone.localdate() - days * DAY, count=count, **{**told, **facts})


def typed(**changes) -> dict[str, str]:
    return {"self_check_open": "on", "self_check_site": "", "enquiry_days": "90", "seen": "0", **changes}


def test_a_shop_that_was_never_asked_reads_first_how_people_find_it(client):
    shown = page(client)

    assert shown.index("Show it to people") < shown.index("What was asked")
    assert "No enquiry yet." in shown
    assert f'value="http://testserver{reverse("self-check")}"' in shown
    assert "until then no site may show it in a frame" in shown


def test_the_owner_closes_it_names_the_one_site_and_says_how_long_enquiries_stay(client):
    sent = typed(self_check_open="", self_check_site="https://Surf.example/", enquiry_days="30")
    answer = client.post(reverse("office-self-check"), sent)
    shop = current()

    assert (answer.status_code, answer["Location"]) == (302, reverse("office-self-check"))
    assert (shop.self_check_open, shop.self_check_site) == (False, "https://surf.example")
    assert shop.enquiry_days == 30
    shown = page(client)
    assert "Works on https://surf.example and on no other site." in shown
    assert "&lt;iframe src=&quot;http://testserver/self-check/&quot;" in shown
    assert "The self-check is closed" in shown
    assert "Your own site, that may show it in a frame" in client.get(reverse("settings")).content.decode()


@pytest.mark.parametrize(
    ("field", "wrong", "sentence"),
    [
        ("self_check_site", "https://a.example/shop", "to a whole site, not to one page"),
        ("self_check_site", "javascript:alert(1)", "no address of a site"),
        ("self_check_site", "https://a.example; script-src *", "no address of a site"),
        ("self_check_site", "https://*.example", "no address of a site"),
        ("self_check_site", "https://u:p@a.example", "to a whole site, not to one page"),
        ("self_check_site", "https://a.example:99999", "no address of a site"),
        ("enquiry_days", "6", "from 7 to 730"),
        ("enquiry_days", "7.5", "from 7 to 730"),
        ("enquiry_days", "soon", "is no number"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field_and_all_that_was_typed_stays(client, field, wrong, sentence):
    answer = client.post(reverse("office-self-check"), typed(**{field: wrong}))
    shown = answer.content.decode()

    assert answer.status_code == 422
    assert sentence in shown
    assert re.search(rf'value="{re.escape(wrong)}"', shown)
    assert (current().self_check_site, current().enquiry_days) == ("", 90)


def test_two_who_save_at_once_never_undo_each_other(client):
    client.post(reverse("office-self-check"), typed(enquiry_days="60"))
    answer = client.post(reverse("office-self-check"), typed(enquiry_days="40"))

    assert answer.status_code == 422
    assert "Somebody changed this" in answer.content.decode()
    assert current().enquiry_days == 60


def test_what_was_asked_is_counted_by_place_look_and_verdict(client):
    tally(3)
    tally(4, days=8, look="torn", part="canopy-centre", verdict="fix")
    tally(9, days=200)
    shown = page(client)

    assert '<b class="asked-sum numeral">7</b> answers given' in shown
    assert shown.index("Cloth, near the middle") < shown.index("Front tube, near the tip")
    for words in ("The cloth is torn", "Fix it yourself", "Do not inflate it; bring it in"):
        assert words in shown


def test_a_code_that_no_rule_knows_any_more_is_shown_as_it_is(client):
    tally(1, look="long-gone", part="nowhere", verdict="perhaps")

    assert "Long gone" in page(client)


def test_who_asked_and_never_came_is_listed_without_a_name(client):
    waiting = asked(3, charge={"low": "70", "high": "160", "currency": "USD"}, comes="by-post")
    gone = asked(100, "fix", stage=Stage.WITHDRAWN, forgotten_at=timezone.now() - DAY)
    came = asked(9, stage=Stage.CHECKED_IN, came_at=timezone.now())
    shown = page(client)

    assert f'href="{waiting.job.get_absolute_url()}"' in shown
    assert f'href="{gone.job.get_absolute_url()}"' in shown
    assert f'href="{came.job.get_absolute_url()}"' not in shown
    for words in (TOLD, "waits 3 days", "forgotten on", "sent by post", "$70 to $160"):
        assert words in shown, words
    assert waiting.job.customer.name not in shown
    counts = re.findall(r'<b class="numeral">(\d+)</b> <span>([^<]*)</span>', shown)
    assert counts == [
        ("3", "enquiries sent"),
        ("1", "came in"),
        ("1", "still expected"),
        ("1", "never came"),
    ]


def test_the_list_goes_on_as_csv(client):
    asked(3)
    answer = client.get(reverse("office-self-check"), {"table": "not-here"})
    head, row = answer.content.decode().splitlines()

    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    assert head.startswith("enquiry,asked on,gear,damages,advised")
    assert TOLD in row
    assert "Do not inflate it; bring it in" in row


def test_the_page_costs_the_same_for_one_enquiry_and_for_a_page_full(client, django_assert_num_queries):
    asked(1)
    page(client)
    with django_assert_num_queries(11):
        page(client)
    for days in range(30):
        asked(days)
    with django_assert_num_queries(11):
        page(client)


def test_the_leaflet_is_shown_and_kept_by_nobody(client):
    answer = client.get(reverse("self-check-leaflet"), {"paper": "junk", "language": "xx"})

    assert answer["Content-Type"] == "application/pdf"
    assert answer["Cache-Control"] == "private, no-store"
