"""The page that says how long things are kept: told in words, counted before it holds, saved with its who."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from shoprepair.shop import lasting, outbox
from shoprepair.shop.models import Letter, Shop
from shoprepair.shop.settings import current

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(as_person, owner):
    return as_person(owner)


def page(client, **sent) -> str:
    address = reverse("times-kept")
    answer = client.post(address, sent, follow=True) if sent else client.get(address)
    return " ".join(answer.content.decode().split())


def typed(**changes) -> dict[str, str]:
    return {name: str(time) for name, time in lasting.times(current()).items()} | {"seen": "0"} | changes


def old_letter() -> None:
    words = {
        "job": "0412",
        "customer": "Ilka",
        "gear": "Petrel",
        "total": "$1",
        "link": "https://loft.example/s/k",
    }
    outbox.write("ilka@example.com", "ready", words, about="job:412")
    written = timezone.now() - datetime.timedelta(days=100)
    Letter.objects.update(state=Letter.State.SENT, written_at=written)


def test_every_kind_is_told_with_its_time_and_what_happens_then(client):
    shown = page(client)
    for kind in lasting.kinds():
        assert kind.what in shown
        assert kind.then in shown
    for words in ("Backups of every day", "Logs of the server", "7 days, 4 weeks and 12 months back"):
        assert words in shown
    assert "until you have looked at this page and saved it once" in shown


def test_a_shorter_time_is_saved_only_after_it_was_told_what_goes_by_it(client):
    old_letter()
    shown = page(client, **typed(letter_days="90"))
    assert "By these times, 1 letter’s words would go tonight" in shown
    assert current().letter_days == 365
    counted = ",".join(
        str(many) for many in lasting.due(lasting.times(current()) | {"letter_days": 90}).values()
    )
    shown = page(client, **typed(letter_days="90", counted=counted))
    assert "What is past its time goes tonight" in shown
    assert "now due: <b>1</b>" in shown
    assert (current().letter_days, current().times_agreed) == (90, True)
    assert "The words of letters are kept, days" in client.get(reverse("settings")).content.decode()


def test_where_nothing_is_due_it_is_saved_at_once_and_the_notice_of_the_office_ends(client):
    current()
    Shop.objects.update(past_their_time=3)
    assert "3 things from earlier years could go" in client.get(reverse("office")).content.decode()
    page(client, **typed(photo_years="5"))
    shop = Shop.objects.get()
    assert (shop.photo_years, shop.times_agreed, shop.past_their_time) == (5, True, 0)
    assert "from earlier years" not in client.get(reverse("office")).content.decode()


@pytest.mark.parametrize("wrong", ["0", "51", "2.5", "soon", "", "1e9", "٣"])
def test_what_is_no_time_is_said_beside_its_field(client, wrong):
    answer = client.post(reverse("times-kept"), typed(contact_years=wrong))
    assert answer.status_code == 422
    assert 'id="id_contact_years_error"' in answer.content.decode()
    assert current().contact_years == 3


def test_two_who_save_at_once_never_undo_each_other(client):
    page(client, **typed(letter_days="300"))
    answer = client.post(reverse("times-kept"), typed(letter_days="200"))
    assert "Somebody changed this" in answer.content.decode()
    assert current().letter_days == 300
