"""The owner words the letters, sees how each will read, and finds those that did not leave."""

import datetime
import html
import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shoprepair.shop import outbox
from shoprepair.shop.models import JournalEntry, Letter, MailText, Staff
from shoprepair.shop.outbox import texts
from shoprepair.shop.settings import current
from tests.factories import JobFactory, StaffFactory

pytestmark = pytest.mark.django_db
CODE = "quote-out"
PAGE = "/office/letters/quote-out/"
STRANGE = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "{% now 'Y' %}",
    "{{ shop }}",
    "أهلا بك",
]


@pytest.fixture
def client(as_person: Any, owner: Staff) -> Client:
    return as_person(owner)


def words(answer: Any) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", answer.content.decode())).split())


def a_letter(**fields: Any) -> Letter:
    values = {name: texts.SAMPLES[name] for name in texts.TEXTS[CODE].placeholders}
    letter = outbox.write("ida@lee.example", CODE, values, about=fields.pop("about", "job:412"))
    Letter.objects.filter(pk=letter.pk).update(**fields)
    return letter


def save(client: Client, subject: str = "News about {job}", body: str = "Look: {link}", **more: Any) -> Any:
    return client.post(PAGE, {"subject": subject, "body": body, "version": 0, **more})


def test_every_letter_is_listed_with_the_moment_it_goes(client: Client) -> None:
    page = words(client.get(reverse("mail-texts")))

    for text in texts.TEXTS.values():
        assert text.name in page
        assert text.when in page
    assert page.count("The program's wording") == len(texts.TEXTS)


def test_the_list_says_which_letters_the_owner_worded(client: Client, owner: Staff) -> None:
    texts.change("ready", who=owner, version=0, subject="Fetch {gear}", body="{link}")

    assert words(client.get(reverse("mail-texts"))).count("Your own wording") == 1


@pytest.mark.parametrize("code", texts.TEXTS)
def test_a_text_opens_with_its_wording_a_preview_and_all_it_can_say(client: Client, code: str) -> None:
    answer = client.get(reverse("mail-text", args=[code]))
    page = words(answer)

    assert answer.status_code == 200
    # A letter to whoever asked from outside names nobody: the address may be anybody's.
    assert (texts.SAMPLES["customer"] in page) == (not code.startswith("enquiry-"))
    assert all(f"{{{name}}} {says}" in page for name, says in texts.TEXTS[code].placeholders.items())


@pytest.mark.parametrize("code", texts.TEXTS)
def test_a_preview_is_signed_by_the_shop_and_counts_in_its_money(client: Client, code: str) -> None:
    shop = current()
    shop.name, shop.currency, shop.web_address = "Slipway Loft", "NOK", "https://slipway.example"
    shop.save()
    page = words(client.get(reverse("mail-text", args=[code])))

    assert "Slipway Loft" in page
    assert "https://slipway.example/s/" in page
    assert texts.SAMPLES["shop"] not in page
    assert "US$" not in page
    assert ("NOK" in page) == ("{total}" in texts.TEXTS[code].body or "{agreed}" in texts.TEXTS[code].body)


def test_a_text_that_does_not_exist_is_not_found(client: Client) -> None:
    for name in ("mail-text", "mail-text-preview", "mail-text-reset"):
        assert client.post(reverse(name, args=["nothing"])).status_code == 404


def test_a_saved_wording_is_how_the_next_letter_reads(client: Client) -> None:
    answer = save(client)

    assert answer.status_code == 302
    letter = a_letter()
    assert (letter.subject, letter.body) == ("News about 0412", f"Look: {texts.SAMPLES['link']}\n")


def test_saving_the_same_wording_changes_nothing(client: Client) -> None:
    text = texts.TEXTS[CODE]
    save(client, text.subject, text.body.replace("\n", "\r\n"))

    assert not MailText.objects.exists()
    assert not JournalEntry.objects.exists()


def test_an_unknown_placeholder_is_named_beside_its_field_and_nothing_is_lost(client: Client) -> None:
    answer = save(client, body="Dear {customer}, {sum} please.")
    page = answer.content.decode()

    assert answer.status_code == 422
    assert "This letter knows no {sum}." in re.search(r'id="id_body_error".*?</div>', page, re.DOTALL)[0]
    assert "Dear {customer}, {sum} please." in page
    assert "News about {job}" in page
    assert not MailText.objects.exists()


@pytest.mark.parametrize(
    ("subject", "body", "sentence"),
    [
        ("", "x", "A letter needs a subject."),
        ("  ", "x", "A letter needs a subject."),
        ("x", "", "Write the letter."),
        ("x", " \n ", "Write the letter."),
        ("x" * 201, "x", "At most 200 characters; this has 201."),
        ("x", "x" * 10_001, "At most 10000 characters; this has 10001."),
    ],
)
def test_what_cannot_be_a_letter_is_refused_with_a_sentence(
    client: Client, subject: str, body: str, sentence: str
) -> None:
    answer = save(client, subject, body)

    assert answer.status_code == 422
    assert sentence in words(answer)


@pytest.mark.parametrize("strange", STRANGE)
def test_whatever_is_typed_is_shown_as_typed(client: Client, strange: str) -> None:
    looked = save(client, subject=strange, body=strange, look="1")

    if looked.status_code == 200:
        assert html.escape(strange) in looked.content.decode()
    assert strange not in looked.content.decode() or html.escape(strange) == strange
    assert not MailText.objects.exists()


def test_the_preview_shows_the_real_letter_without_saving_it(client: Client) -> None:
    typed = {"subject": "About {job}", "body": "In all {total}."}
    answer = client.post(f"{PAGE}preview/", {**typed, "version": 0}, headers={"HX-Request": "true"})

    assert "About 0412" in words(answer)
    assert "In all $248.50." in words(answer)
    assert not MailText.objects.exists()


def test_the_preview_says_beside_the_field_what_is_wrong_while_typing(client: Client) -> None:
    answer = client.post(f"{PAGE}preview/", {"subject": "{job", "body": "{who}", "version": 0})
    page = answer.content.decode()

    assert "comes back" in page
    assert re.search(r'id="id_body_error"[^>]*data-hx-swap-oob="true"[^>]*>\s*<p>This letter knows no', page)
    assert re.search(r'id="id_subject_error"[^>]*>\s*</div>', page)


def test_the_second_of_two_owners_sees_what_the_first_wrote_and_loses_nothing(
    client: Client, as_person: Any
) -> None:
    other = as_person(StaffFactory(role=Staff.Role.OWNER))
    save(other, body="The first to save: {link}")
    answer = save(client, body="The second to save: {link}")
    page = answer.content.decode()

    assert answer.status_code == 422
    assert "Somebody changed this" in page
    assert "The first to save: {link}" in page
    assert "The second to save: {link}" in page
    assert texts.wording(CODE).body == "The first to save: {link}"

    version = re.search(r'name="version" value="(\d+)"', page)[1]
    save(client, body="The second to save: {link}", version=version)
    assert texts.wording(CODE).body == "The second to save: {link}"


def test_going_back_to_the_programs_wording_keeps_the_owners_in_the_journal(client: Client) -> None:
    save(client)
    answer = client.post(f"{PAGE}reset/", {"version": 1}, follow=True)

    assert texts.wording(CODE).body == texts.TEXTS[CODE].body
    assert "Look: {link}" in words(answer)
    assert "Go back to the program" not in words(answer)


@pytest.mark.parametrize("version", ["0", "7", "", "x", "-1", "²", "9" * 30, "9" * 5000])
def test_going_back_is_refused_when_somebody_changed_it_meanwhile(client: Client, version: str) -> None:
    save(client)
    answer = client.post(f"{PAGE}reset/", {"version": version}, follow=True)

    assert "Somebody changed this" in words(answer)
    assert texts.wording(CODE).own


@pytest.mark.parametrize("version", ["", "x", "-1", "9" * 30, "9" * 5000])
def test_a_page_of_no_known_version_saves_nothing(client: Client, version: str) -> None:
    assert save(client, version=version).status_code == 422
    assert not MailText.objects.exists()


def test_after_going_back_a_page_from_before_cannot_save_over_it(client: Client) -> None:
    save(client)
    client.post(f"{PAGE}reset/", {"version": 1})

    assert save(client, body="From an old page", version=1).status_code == 422
    assert save(client, body="From a new page", version=2).status_code == 302


def test_the_office_says_that_no_mail_server_is_set(client: Client) -> None:
    a_letter()

    assert "No mail server is set , so letters wait: 1 now." in words(client.get(reverse("mail-texts")))
    assert "No mail server is set 1 waits" in words(client.get(reverse("office")))


def test_it_says_so_in_whatever_language_the_owner_reads(client: Client, owner: Staff) -> None:
    Staff.objects.filter(pk=owner.pk).update(language="de")

    assert "EMAIL_URL" in words(client.get(reverse("mail-texts")))


def test_the_office_says_that_the_shop_has_no_address_to_write_from(client: Client, settings: Any) -> None:
    settings.EMAIL_HOST = "mail.example"

    assert "no e-mail address to write from" in words(client.get(reverse("mail-texts")))


def test_the_office_says_that_nobody_sends_the_letters(client: Client, settings: Any) -> None:
    settings.EMAIL_HOST = "mail.example"
    shop = current()
    shop.email = "loft@northquay.example"
    shop.save()
    assert "A mail server is set, and no letter waits." in words(client.get(reverse("mail-texts")))

    a_letter(next_try_at=timezone.now() - datetime.timedelta(minutes=11))
    assert "Nothing is sending the letters" in words(client.get(reverse("mail-texts")))
    assert "nothing is sending them" in words(client.get(reverse("office")))


def test_letters_that_did_not_leave_are_named_with_the_way_to_their_job(client: Client) -> None:
    JobFactory(number=412)
    failed = a_letter(state="failed", last_error="the mail server answered “550 no such mailbox”")
    a_letter(state="unsure", last_error="the line broke", about="shop:1")
    a_letter(state="sent")
    page = client.get(reverse("mail-texts"))

    assert "not sent: the mail server answered “550 no such mailbox”" in words(page)
    assert "perhaps sent: the line broke" in words(page)
    assert f'href="/jobs/412/#letter-{failed.pk}"' in page.content.decode()
    assert page.content.decode().count('class="letter"') == 2
    assert "1 not sent 1 perhaps sent" in words(client.get(reverse("office")))
