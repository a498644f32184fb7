"""Whoever works here, and whoever asks from outside, reads the shop in their own language."""

import datetime
import re
from html import unescape

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse
from django.utils import translation
from django.utils.formats import date_format

from shoprepair.jobs import checkin, conversation, damages, links
from shoprepair.jobs.models import Damage
from shoprepair.pricing import money
from shoprepair.pricing.models import Material, Operation
from shoprepair.shop import journal, outbox
from shoprepair.shop.models import Language, Shop
from shoprepair.shop.settings import current
from shoprepair.shop.units import Typed, Units, read_length, say_length
from tests.factories import CustomerFactory, InflatableFactory, PatternFactory
from tests.shelves import stocked

pytestmark = pytest.mark.django_db
OTHERS = tuple(code for code, _name in settings.LANGUAGES if code != settings.LANGUAGE_CODE)
OFFICE = (
    "office",
    "settings",
    "catalogue",
    "price-rules",
    "load-figures",
    "people",
    "mail-texts",
    "patterns",
    "office-self-check",
)
READ = (
    *OFFICE,
    "failing",
    "lives",
    "late-jobs",
    "how-it-runs",
    "leaving",
    "backups",
    "times-kept",
    "holidays",
    "bench-hours",
    "work-rules",
    "cloths",
    "claims",
    "quotes-waiting",
    "stock",
)
"""Drawn to the width of their words, so that only what is read on them is alike."""
SHOWN = r'(?:aria-label|title|alt|placeholder)="([^"]+)"'


@pytest.fixture
def cut(counter) -> Damage:
    """A cut of 35 mm around the leading edge of a wing that is checked in."""
    stocked()
    customer = CustomerFactory(name="Oda Tveit", email="oda@lee.example")
    made = checkin.start(customer, InflatableFactory(pattern=PatternFactory(name="Petrel 5.0")), who=counter)
    damage = damages.pin(made, 0.4, 0.03, who=counter)
    damages.answer(damage, who=counter, kind="cut", length=Typed(0.035, "35 mm"), direction="around")
    checkin.note_arrival(made, who=counter, came_with=[], note="")
    made.terms = "Ninety days."
    checkin.agree_terms(made, who=counter)
    checkin.finish(made, who=counter)
    damage.refresh_from_db()
    return damage


def speak(language: str) -> None:
    current()
    Shop.objects.update(language=language)


def page(client: Client, address: str, **headers: str) -> str:
    answer = client.get(address, headers=headers, follow=True)
    assert answer.status_code == 200, address
    return answer.content.decode()


def texts(html: str) -> set[str]:
    """Every run of words between tags, and every name that only a screen reader says."""
    html = re.sub(r"<(script|style)\b.*?</\1>", " ", html, flags=re.DOTALL)
    found = (*re.split(r"<[^>]+>", html), *re.findall(SHOWN, html))
    return {text for each in found if re.search(r"[^\W\d_]{3}", text := " ".join(unescape(each).split()))}


def of_the_shop() -> set[str]:
    """What the shop itself has written, in its own language: its catalogue."""
    operations = Operation.objects.values_list("name", "steps", "cover_terms")
    names = Material.objects.values_list("name", flat=True)
    return {*names, *(text for name, steps, terms in operations for text in (name, *steps, terms))}


def left_in_english(english: str, other: str, language: str) -> set[str]:
    """Texts of both pages that this language has other words for, but what the shop itself has written."""
    with translation.override(language):
        same = texts(english) & texts(other) - {"English"} - of_the_shop()
        return {text for text in same if translation.gettext(text) != text}


def addresses(cut: Damage, office: tuple[str, ...] = OFFICE) -> list[str]:
    job = cut.job
    pages = [
        reverse("rack"),
        job.get_absolute_url(),
        reverse("check-in"),
        reverse("bench"),
        reverse("my-units"),
    ]
    return [*pages, reverse("job-check-in", args=[job.number]), *map(reverse, office)]


def test_what_everything_is_said_in_can_be_chosen_by_a_shop_and_by_a_person():
    assert Language.choices == list(settings.LANGUAGES), (
        "write it into `shop.models.Language`, then `manage.py makemigrations`"
    )


@pytest.mark.parametrize("language", OTHERS)
def test_no_page_of_the_shop_is_left_half_in_english(cut, owner, as_person, language):
    client = as_person(owner)
    english = {address: page(client, address) for address in addresses(cut, READ)}
    owner.language = language
    owner.save()

    for address, before in english.items():
        now = page(client, address)
        assert f'<html lang="{language}"' in now
        assert left_in_english(before, now, language) == set(), address


@pytest.mark.parametrize("language", OTHERS)
def test_what_a_program_reads_on_a_page_is_the_same_in_every_language(cut, owner, as_person, language):
    client = as_person(owner)
    for address in addresses(cut):
        speak("en")
        before = page(client, address)
        speak(language)
        assert figures(page(client, address)) == figures(before), address


def figures(html: str) -> list[str]:
    """Every attribute that holds a figure with a point or a comma in it, but those that are read out."""
    html = re.sub(r'\b(?:aria-label|title|alt|placeholder|content)="[^"]*"', "", html)
    return [
        each
        for each in re.findall(r'\s[\w-]+="[^"]*\d[.,]\d[^"]*"', html)
        if "csrf" not in each and not each.strip().startswith(("href", "src"))
    ]


def test_a_persons_own_language_goes_before_the_shops(cut, counter, bench, as_person):
    speak("de")
    bench.language = "es"
    bench.save()

    assert "Regal" in page(as_person(counter), "/")
    assert "perchero" in page(as_person(bench), "/").lower()


def test_two_who_read_other_languages_do_not_read_each_others_rows(cut, counter, bench, as_person):
    bench.language = "de"
    bench.save()
    english, german = as_person(counter), as_person(bench)

    before = page(english, "/")
    assert "35 mm cut" in before
    assert "35 mm cut" not in page(german, "/")
    assert "Schnitt" in page(german, "/")
    assert "35 mm cut" in page(english, "/")


def test_a_request_leaves_no_language_behind(cut, counter, as_person):
    speak("de")
    page(as_person(counter), "/")
    assert translation.get_language() == "en"


def test_the_owner_chooses_the_shops_language_and_the_journal_tells(owner, as_person):
    client = as_person(owner)
    form = page(client, reverse("settings"))
    sent = dict(re.findall(r'name="([^"]+)"\s+value="([^"]*)"', form))
    sent = sent | {"name": "Loft", "time_zone": "UTC", "currency": "USD", "paper": "A4", "tag_paper": "62"}
    sent |= {"pressure_unit": "bar", "length_unit": "mm", "temperature_unit": "°C", "usual_days": "10"}
    sent |= {"test_pressure_factor": "1.00", "seen": "0", "language": "es", "week_begins": "0"}
    assert client.post(reverse("settings"), sent).status_code == 302

    assert current().language == "es"
    assert journal.entries(current())[0].changes["language"] == ["en", "es"]


def test_everybody_chooses_their_own_beside_their_units(counter, as_person):
    client = as_person(counter)
    client.post(reverse("my-units"), {"language": "de"})

    counter.refresh_from_db()
    assert counter.language == "de"
    assert "Deine Einheiten und deine Sprache" in page(client, reverse("my-units"))


def test_a_shop_begins_in_the_language_of_the_browser_that_opens_it(stranger):
    first = page(stranger, reverse("first-run"), accept_language="de-AT,de;q=0.9")
    assert '<html lang="de">' in first
    assert re.search(r'value="de"[^>]*checked', first)

    begun = {"shop_name": "Loft", "name": "Ida", "username": "ida", "language": "es"}
    secret = {"password": "wet sand on the quay", "again": "wet sand on the quay"}
    assert stranger.post(reverse("first-run"), begun | secret).status_code == 302
    assert current().language == "es"


def test_a_customer_reads_their_page_in_their_language_else_in_the_shops(cut, counter, stranger):
    address = links.path(links.make(cut.job, who=counter))
    english = page(stranger, address)
    speak("es")

    assert '<html lang="es">' in page(stranger, address)
    german = page(stranger, address, accept_language="de,en;q=0.5")
    assert '<html lang="de">' in german
    assert left_in_english(english, german, "de") == set()
    assert '<html lang="en">' in page(stranger, f"{address}?lang=en", accept_language="de")


def test_a_letter_speaks_the_shops_language_whoever_writes_it(cut):
    speak("es")
    context = {
        "customer": "Oda",
        "job": "0007",
        "gear": "Petrel 5.0",
        "link": "https://x.example",
        "total": "",
    }
    with translation.override("de"):
        letter = outbox.write("oda@lee.example", "ready", context, about=cut.job)

    assert letter.subject.endswith("listo para recoger, Petrel 5.0")
    assert letter.body.startswith("Hola, Oda:")


@pytest.mark.parametrize("language", OTHERS)
def test_figures_are_read_as_they_are_written(language):
    with translation.override(language):
        assert read_length(say_length(4.2, Units()), Units()).value_si == 4.2
        said = money.say(money.Decimal("1234.50"), "USD")
        assert money.read(said, "USD") == money.Decimal("1234.50")


@pytest.mark.parametrize("language", ["de", "es"])
def test_figures_have_a_comma_where_the_language_has_one(language):
    with translation.override(language):
        assert say_length(4.2, Units()) == "4,20 m"
        assert "234,50" in money.say(money.Decimal("1234.50"), "USD")


@pytest.mark.parametrize(
    ("language", "said"), [("en", "2,000"), ("de", "2.000"), ("es", "2\N{NO-BREAK SPACE}000")]
)
def test_thousands_are_parted_as_the_language_parts_them(language, said):
    with translation.override(language), pytest.raises(conversation.NotSaid, match=f" {re.escape(said)} "):
        conversation.clean_text("x" * 2001, "")


def test_days_are_written_as_each_language_writes_them():
    day = datetime.date(2026, 12, 3)
    said = {}
    for language in ("en", *OTHERS):
        with translation.override(language):
            said[language] = [date_format(day, pattern) for pattern in ("j M Y", "j F Y", "D j M")]
    assert said == {
        "en": ["3 Dec 2026", "3 December 2026", "Thu 3 Dec"],
        "de": ["3. Dez 2026", "3. Dezember 2026", "Do 3. Dez"],
        "es": ["3 dic 2026", "3 de diciembre de 2026", "jue 3 dic"],
    }


def test_a_language_from_the_right_turns_the_page(counter, as_person):
    speak("ar")
    assert '<html lang="ar" dir="rtl">' in page(as_person(counter), "/")
