"""What takes something away, and how it comes back: every form of the shop is in one of four lists.

A new route that is sent to fails here until it says whether it takes anything away, and if it does, what
brings that back in the same place, or which words say before that nothing will.
"""

from html.parser import HTMLParser
from pathlib import Path

import pytest
from django.template.loader import get_template
from django.urls import reverse

from shoprepair.cover import links as cover_links
from shoprepair.gear import library
from shoprepair.jobs import links
from shoprepair.office.forms.materials import MaterialForm
from shoprepair.office.forms.price_rules import PriceRulesForm
from shoprepair.pricing import catalogue, rules
from shoprepair.pricing.catalogue_changes import CHANGEABLE, uses_of
from shoprepair.pricing.models import Material, Operation
from shoprepair.shop import outbox
from shoprepair.shop.changes import newest
from shoprepair.shop.models import Letter, MailText, Staff
from shoprepair.shop.outbox import texts
from shoprepair.shop.units import Units
from shoprepair.work.models import Holiday
from tests.attacks.routes import TABLE
from tests.factories import InflatableFactory, JobFactory, OperationFactory

TEMPLATES = Path(get_template("base.html").origin.name).parent

UNDONE_BY = {
    # An act, and the route that takes it back.
    "damage-remove": "damage-restore",
    "photo-remove": "photo-restore",
    "photo-unplace": "photo-place",
    "damage-move": "damage-move",
    "repair-drop": "repair-add",
    "quote-line-remove": "quote-line-add",
    "quote-send": "quote-withdraw",
    "status-link-withdraw": "status-link",
    "cover-link": "cover-link",
    "letter-cancel": "letter-again",
    "job-stage": "job-stage",
    "job-hold": "job-hold",
    "hand-back-give": "hand-back-undo",
    "hand-back-undo": "hand-back-give",
    "claim-drop": "claim-take-up",
    "claim-decide": "claim-reopen",
    "claim-reopen": "claim-decide",
    "transfer-end": "transfer-offer",
    "expected-parts": "expected-parts",
    "bench-tick": "bench-tick",
    "bench-all-done": "bench-tick",
    "bench-hold-end": "job-hold",
    "bench-stop": "bench-take",
    "bench-time-mend": "bench-time-mend",
    "bench-step-move": "bench-step-move",
    "hold-reading-remove": "hold-reading-restore",
    "hold-stop": "hold-begin",
    "hold-decide": "job-stage",
    "refund": "payment",
    "invoice-credit": "invoice-make",
    "lot-close": "lot-close",
    "lot-count": "lot-count",
    "step-material-back": "step-material",
    "holiday-remove": "holidays",
    "price-rules": "price-rules",
    "material": "material",
    "operation": "operation",
    "operation-switch": "operation-switch",
    "operation-minutes": "operation",
    "mail-text-reset": "mail-text",
    "person-disable": "person-enable",
    "tablet-revoke": "tablets",
    "demo-remove": "demo-back",
    "demo-back": "demo-remove",
    # Whoever is put out comes in again by what they know or have.
    "person-log-in-end": "login",
    "person-log-ins-end": "login",
    "my-log-in-end": "login",
    "my-log-ins-end": "login",
    "logout": "login",
    "person-pin-forget": "my-pin",
    "my-pin-forget": "my-pin",
    "person-factor-remove": "my-second-factor-begin",
    "my-second-factor-remove": "my-second-factor-begin",
    "my-second-factor-codes": "my-second-factor-codes",
}

FOR_GOOD = {
    # An act that nothing takes back, and the words that say so beside its button.
    "customer-erase": ("office/leaving/erase.html", "It cannot be undone."),
    "gear-retire": ("counter/gear/retire.html", "nothing brings them back"),
    "cover-end": ("counter/gear/cover_seal.html", "Nothing brings it back."),
    "quote-withdraw": ("counter/quote/out.html", "it never goes out again as it is"),
    "times-kept": ("office/lasting.html", "would go tonight, for good"),
    "transfer-agree": ("counter/transfer/party.html", "nothing but another transfer brings it back"),
}

_CHANGES = """
bench-hours bench-tick-decide claim-hold claim-pumped cloth-edit damage enquiry-is enquiry-model
job-arrival job-correct load-figures mail-text my-look my-units office-self-check
pattern-edit person person-password photo-place photo-share quote quote-change
quote-line quote-worth re-assess repair repair-choose settings stock-rule work-rules my-pin
my-second-factor my-second-factor-later set-up-shop set-up-prices set-up-tag status-answer
passing-answer quote-answer
"""
CHANGES = set(_CHANGES.split())
"""Writes another value over one that the journal keeps, or that is on the screen to be typed again."""

_ADDS = """
archive archive-import backups bench-photo bench-take catalogue-bring-in check-in-customer check-in-gear
check-in-start claim-take-up cloth-add damage-pin damage-restore enquiry first-run gear-check-in
hold-begin hold-reading hold-reading-restore holidays invoice-make job-check-in letter-again log-in-code
login lot-add mail-text-preview material-add my-second-factor-begin operation-add pattern-copy payment
person-add person-enable photo-add photo-restore quote-line-add quote-revise repair-add reply second-check
self-check-tally set-up-pattern set-up-people status-ask status-link step-material switch-pin tablets
taken-down-send transfer-customer transfer-offer
"""
ADDS = set(_ADDS.split())
"""Brings something in, or back; takes nothing away."""


def test_every_form_of_the_shop_says_whether_it_takes_anything_away():
    sent = {name for name, rule in TABLE.items() if rule.send}
    lists = (set(UNDONE_BY), set(FOR_GOOD), CHANGES, ADDS)
    told = set().union(*lists)

    assert sent - told == set(), (
        "Say of a new route whether it takes something away, and what brings it back."
    )
    assert told - sent == set(), "There are no such routes any more."
    assert sum(map(len, lists)) == len(told), "A route stands in two lists."


def test_what_undoes_an_act_is_a_form_that_the_same_people_may_send():
    for act, undo in UNDONE_BY.items():
        by = TABLE[undo].send
        assert by, f"{act} is undone by {undo}, to which nobody may send."
        assert undo in ("login", "my-pin", "my-second-factor-begin") or TABLE[act].send <= by, act


@pytest.mark.parametrize("act", sorted(FOR_GOOD))
def test_what_is_for_good_says_so_beside_its_button(act):
    template, words = FOR_GOOD[act]
    assert words in " ".join((TEMPLATES / template).read_text().split())


class _Undo(HTMLParser):
    """The form of a notice: where it sends to, and what."""

    def __init__(self):
        super().__init__()
        self.url, self.fields, self.inside = "", {}, False

    def handle_starttag(self, tag, attrs):
        said = dict(attrs)
        if tag == "div":
            self.inside = said.get("class") == "notice"
        if self.inside and tag == "form":
            self.url = said["action"]
        if self.inside and tag == "input" and said["name"] != "csrfmiddlewaretoken":
            self.fields[said["name"]] = said.get("value", "")


def undo(client, answer):
    """Press the button of the notice that the answer leads to."""
    page = client.get(answer["Location"])
    found = _Undo()
    found.feed(page.content.decode().split('id="line"')[0])
    assert found.url, "The notice offers no way back."
    return client.post(found.url, found.fields)


@pytest.mark.django_db
def test_days_that_were_removed_are_put_back(as_person, owner, bench):
    client = as_person(owner)
    gone = Holiday.objects.create(who=bench, first_day="2026-12-24", last_day="2026-12-26", note="snow")
    undo(client, client.post(reverse("holiday-remove", args=[gone.pk])))

    back = Holiday.objects.get()
    assert (back.who, str(back.first_day), str(back.last_day), back.note) == (
        bench,
        "2026-12-24",
        "2026-12-26",
        "snow",
    )


@pytest.mark.django_db
def test_a_status_link_that_was_withdrawn_opens_again(as_person, counter):
    job = JobFactory()
    link = links.make(job, who=counter)
    token = links.token(link)
    client = as_person(counter)
    answer = client.post(reverse("status-link-withdraw", args=[job.number]))
    assert links.find(token) is None

    undo(client, answer)
    assert links.find(token) == link


@pytest.mark.django_db
def test_a_link_that_was_brought_back_takes_the_place_of_no_other(counter):
    job = JobFactory()
    old = links.withdraw(links.make(job, who=counter), who=counter)
    live = links.make(job, who=counter)

    assert links.bring_back(old, who=counter) == live
    assert links.find(links.token(old)) is None


@pytest.mark.django_db
def test_the_closed_address_of_a_cover_record_opens_again_with_its_printed_code(as_person, counter):
    gear = InflatableFactory()
    link = cover_links.make(gear)
    token = cover_links.token(link)
    client = as_person(counter)
    answer = client.post(reverse("cover-link", args=[gear.pk]), {"withdraw": "1"})
    assert cover_links.find(token) is None

    undo(client, answer)
    assert cover_links.find(token) == link


@pytest.mark.django_db
def test_a_letter_kept_from_being_sent_waits_again(as_person, counter):
    job = JobFactory()
    words = {
        "job": str(job),
        "customer": "Ilka",
        "gear": "Gull",
        "total": "$1",
        "link": "https://loft.example",
    }
    letter = outbox.write("ilka@example.com", "ready", words, about=job)
    client = as_person(counter)
    undo(client, client.post(reverse("letter-cancel", args=[letter.pk])))

    letter.refresh_from_db()
    assert letter.state == Letter.State.WAITING


@pytest.mark.django_db
def test_a_letter_whose_words_are_gone_stays_unsent(counter):
    words = {"job": "0007", "customer": "Ilka", "gear": "Gull", "total": "$1", "link": "https://loft.example"}
    letter = outbox.write("ilka@example.com", "ready", words, about="job:7")
    outbox.cancel(letter, who=counter)
    Letter.objects.update(to="", body="")
    letter.refresh_from_db()
    with pytest.raises(outbox.NotPossible):
        outbox.take_up(letter, who=counter)


@pytest.mark.django_db
def test_somebody_shut_out_by_a_slip_is_let_in_again(as_person, owner, bench):
    client = as_person(owner)
    undo(client, client.post(reverse("person-disable", args=[bench.pk])))

    bench.refresh_from_db()
    assert bench.is_active


@pytest.mark.django_db
def test_an_operation_switched_off_by_a_slip_is_in_use_again(as_person, owner):
    operation = OperationFactory()
    client = as_person(owner)
    sent = {"active": "no", "version": operation.version}
    answer = client.post(reverse("operation-switch", args=[operation.pk]), sent)
    assert not Operation.objects.get().active

    undo(client, answer)
    assert Operation.objects.get().active


@pytest.mark.django_db
def test_the_owners_wording_of_a_letter_comes_back(as_person, owner):
    texts.change("ready", subject="It is ready, {customer}", body="Come by.\n{link}", who=owner, version=0)
    client = as_person(owner)
    version = MailText.objects.get(code="ready").version
    undo(client, client.post(reverse("mail-text-reset", args=["ready"]), {"version": version}))

    assert texts.wording("ready").subject == "It is ready, {customer}"


@pytest.mark.django_db
@pytest.mark.parametrize("language", ["en", "de"])
def test_price_rules_that_were_changed_come_back_to_the_last_digit(as_person, owner, language):
    before = rules.current()
    was = {name: getattr(before, name) for name in rules.CHANGEABLE}
    Staff.objects.filter(pk=owner.pk).update(language=language, length_unit="in")
    client = as_person(owner)
    form = PriceRulesForm(before, Units(length="in"), "USD")
    sent = {name: form[name].value() for name in form.fields}
    answer = client.post(reverse("price-rules"), sent | {"hourly_rate": "75", "opening_reach_m": "20 in"})
    assert rules.current().hourly_rate == 75

    undo(client, answer)
    assert {name: getattr(rules.current(), name) for name in rules.CHANGEABLE} == was


@pytest.mark.django_db
def test_a_materials_price_that_was_changed_comes_back(as_person, owner):
    library.load()
    catalogue.load()
    hose, client = Material.objects.get(code="hose"), as_person(owner)
    form = MaterialForm(hose, "USD", initial={"seen": newest(hose)})
    sent = {name: form[name].value() or "" for name in form.fields} | {"price": "12"}
    answer = client.post(reverse("material", args=[hose.pk]), sent)
    assert Material.objects.get(pk=hose.pk).price == 12

    undo(client, answer)
    assert Material.objects.get(pk=hose.pk).price == hose.price


@pytest.mark.django_db
@pytest.mark.parametrize("language", ["en", "de"])
def test_an_operation_that_was_changed_comes_back_whole(as_person, owner, language):
    library.load()
    catalogue.load()
    Staff.objects.filter(pk=owner.pk).update(language=language)
    operation = Operation.objects.get(code="le-burst-rebuild")
    names = (*CHANGEABLE, "step_codes")
    was, used = {name: getattr(operation, name) for name in names}, uses_of(operation)
    assert any(operation.step_codes)
    assert used
    client = as_person(owner)
    sent = {
        "name": "Burst",
        "area": "casing",
        "steps": "Mend it.",
        "cover_terms": "None.",
        "cover_months": "0",
    }
    sent |= dict.fromkeys(("set_up_minutes", "minutes_per_m", "minutes_per_m2", "drying_hours"), "1")
    answer = client.post(
        reverse("operation", args=[operation.pk]), sent | {"version": operation.version, "does": ""}
    )
    operation.refresh_from_db()
    assert (operation.name, operation.steps, uses_of(operation)) == ("Burst", ["Mend it."], [])

    undo(client, answer)
    operation.refresh_from_db()
    assert {name: getattr(operation, name) for name in names} == was
    assert uses_of(operation) == used
