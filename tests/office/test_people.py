import pytest
from django.test import Client
from django.urls import reverse

from shoprepair.shop import journal
from shoprepair.shop.models import Staff

pytestmark = pytest.mark.django_db

GOOD_PASSWORD = "wet sand on the quay"


@pytest.fixture
def client(as_person, owner):
    return as_person(owner)


def newcomer(**changes) -> dict[str, str]:
    return {
        "name": "Aiko Brandt",
        "username": "aiko",
        "role": "bench",
        "password": GOOD_PASSWORD,
        "key": "one-form",
        **changes,
    }


def refusal(client, **changes) -> str:
    answer = client.post(reverse("person-add"), newcomer(**changes))
    assert answer.status_code == 422
    assert not Staff.objects.filter(first_name="Aiko Brandt").exists()
    return answer.content.decode()


def test_somebody_new_can_log_in_and_work(client):
    answer = client.post(reverse("person-add"), newcomer())
    assert (answer.status_code, answer["Location"]) == (302, reverse("people"))

    arrived = Client()
    arrived.post(reverse("login"), {"username": "aiko", "password": GOOD_PASSWORD})
    assert arrived.get(reverse("rack")).status_code == 200
    assert arrived.get(reverse("office")).status_code == 403


def test_a_double_tap_adds_one_person(client):
    answers = [client.post(reverse("person-add"), newcomer()) for _ in range(2)]

    assert [answer["Location"] for answer in answers] == [reverse("people")] * 2
    assert Staff.objects.filter(username="aiko").count() == 1


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("name", "", "Say who this is."),
        ("username", "", "Write the name to log in with."),
        ("username", "aiko brandt", "has only letters, figures and . @ + - _ in it, and no spaces."),
        ("username", "RUNA", "Somebody logs in as RUNA already. Choose another name."),
        ("role", "", "Choose what this person works as."),
        ("role", "captain", "Choose one of those shown."),
        ("password", "", "Write a password."),
        ("password", "sail", "This password is too short: it needs at least 12 characters."),
        ("password", "password1234", "Many people use this password."),
        ("password", "194837261950", "Figures alone are guessed quickly."),
        ("password", "Aiko Brandt", "That is too much like the name"),
    ],
)
def test_what_will_not_do_is_said_beside_its_field(client, owner, field, text, sentence):
    assert sentence in refusal(client, **{field: text})


def test_a_password_is_never_sent_back(client):
    assert GOOD_PASSWORD not in refusal(client, name="", password=GOOD_PASSWORD)


def test_a_long_password_in_any_script_is_taken_whole(client):
    password = "日本の海 " * 20 + "ą̊ end "
    client.post(reverse("person-add"), newcomer(password=password))

    assert Staff.objects.get(username="aiko").check_password(password)


def test_html_in_a_name_is_shown_as_text(client):
    client.post(reverse("person-add"), newcomer(name="<script>alert(1)</script>"))

    assert "<script>alert" not in client.get(reverse("people")).content.decode()


def test_a_form_cannot_give_itself_more_than_its_fields(client):
    client.post(reverse("person-add"), newcomer(is_superuser="on", is_staff="on"))
    arrived = Staff.objects.get(username="aiko")

    assert not arrived.is_superuser
    assert not arrived.is_staff


def test_the_list_says_who_works_as_what_and_who_is_out(client, bench):
    bench.is_active = False
    bench.save()
    page = client.get(reverse("people")).content.decode()

    assert "Tomek Brandal" in page
    assert "May not log in" in page
    assert page.index("Runa Selvaag") < page.index("Tomek Brandal")


@pytest.mark.parametrize("count", [1, 3])
def test_the_list_costs_the_same_for_one_as_for_many(client, count, django_assert_num_queries):
    for number in range(count):
        Staff.objects.create_user(f"helper{number}", role="bench")
    client.get(reverse("people"))
    with django_assert_num_queries(2):
        client.get(reverse("people"))


def test_a_change_of_role_counts_from_the_next_request_and_is_journalled(client, bench, as_person, owner):
    theirs = as_person(bench)
    client.post(reverse("person", args=[bench.pk]), {"name": "Tomek Brandal", "role": "owner"})

    assert theirs.get(reverse("office")).status_code == 200
    [entry] = journal.entries(bench)
    assert (entry.who, entry.changes) == (owner, {"role": ["bench", "owner"]})


def test_the_last_owner_cannot_become_anything_else(client, owner):
    answer = client.post(reverse("person", args=[owner.pk]), {"name": "Runa Selvaag", "role": "bench"})

    assert answer.status_code == 422
    assert "is the only owner who can log in and cannot work as anything else." in answer.content.decode()
    owner.refresh_from_db()
    assert owner.role == "owner"


def test_the_last_owner_cannot_be_shut_out(client, owner):
    answer = client.post(reverse("person-disable", args=[owner.pk]))

    assert answer.status_code == 422
    assert "is the only owner who can log in and cannot be shut out." in answer.content.decode()
    owner.refresh_from_db()
    assert owner.is_active


def test_an_owner_who_is_shut_out_does_not_count_as_another_owner(client, owner, bench):
    Staff.objects.filter(pk=bench.pk).update(role="owner", is_active=False)

    assert client.post(reverse("person-disable", args=[owner.pk])).status_code == 422


def test_an_owner_who_hands_over_is_led_to_the_rack(client, owner, bench):
    Staff.objects.filter(pk=bench.pk).update(role="owner")
    answer = client.post(reverse("person", args=[owner.pk]), {"name": "Runa Selvaag", "role": "counter"})

    assert answer["Location"] == reverse("rack")
    assert client.get(reverse("office")).status_code == 403


def test_somebody_shut_out_is_out_at_their_next_request_and_back_when_let_in(client, counter, as_person):
    theirs = as_person(counter)
    assert theirs.get(reverse("rack")).status_code == 200

    client.post(reverse("person-disable", args=[counter.pk]))
    answer = theirs.get(reverse("rack"))
    assert (answer.status_code, answer["Location"]) == (302, f"{reverse('login')}?next=/")

    client.post(reverse("person-enable", args=[counter.pk]))
    again = as_person(counter)
    assert again.get(reverse("rack")).status_code == 200
    assert [entry.verb for entry in journal.entries(counter)] == ["staff.enabled", "staff.disabled"]


def test_a_new_password_ends_every_log_in_made_with_the_old(client, counter, as_person):
    theirs = as_person(counter)
    client.post(reverse("person-password", args=[counter.pk]), {"password": GOOD_PASSWORD})

    assert theirs.get(reverse("rack")).status_code == 302
    counter.refresh_from_db()
    assert counter.check_password(GOOD_PASSWORD)


def test_the_owner_stays_logged_in_when_changing_their_own_password(client, owner):
    client.post(reverse("person-password", args=[owner.pk]), {"password": GOOD_PASSWORD})

    assert client.get(reverse("people")).status_code == 200


def test_a_password_that_will_not_do_is_refused_on_the_persons_page(client, counter):
    answer = client.post(reverse("person-password", args=[counter.pk]), {"password": "maja orrevik"})

    assert answer.status_code == 422
    assert "That is too much like the name" in answer.content.decode()


def test_no_journal_line_holds_a_password(client, counter):
    client.post(reverse("person-add"), newcomer())
    client.post(reverse("person-password", args=[counter.pk]), {"password": GOOD_PASSWORD})
    written = [f"{entry.text} {entry.changes}" for entry in journal.entries(counter)]

    assert not any(GOOD_PASSWORD in line for line in written)


def test_nobody_has_a_page_who_does_not_work_here(client):
    assert client.get(reverse("person", args=[987654])).status_code == 404
