"""The invoice and receipt on paper, read back from outside."""

from decimal import Decimal

import pytest

from shoprepair.jobs.models import Stage
from shoprepair.papers import invoice as paper_invoice
from shoprepair.shop.settings import current
from shoprepair.work import invoices, payments
from tests.factories import ready
from tests.papers.conftest import BASE_URL, CUT, SCUFF
from tests.papers.reading import aloud, facts, fonts, pages, size_mm, text

HOSTILE = '<img src="file:///etc/passwd"><script>x</script>{{7*7}}'


def printed(invoice, paper="A4"):
    return paper_invoice.render(invoice, paper=paper, base_url=BASE_URL)


@pytest.fixture
def make(make_job, owner):
    """A job agreed for $110.00 and ready, with its invoice."""

    def made(**agreed):
        name = agreed.pop("name", "Ida Quist")
        job = make_job(CUT, SCUFF, name=name, stage=Stage.ASSESSED, terms_agreed_at="2026-05-04T09:00:00Z")
        return invoices.make(ready(job, owner, **agreed), who=owner)

    return made


def test_it_says_who_owes_whom_what_for_which_gear(make):
    said = text(printed(make()))
    for words in (
        "Northquay Loft · 3 Quay Road · Harbour 4210 · 555 0100",
        "Invoice",
        "0001",
        "Ida Quist",
        "Holm 5.0 wing · serial HM-20418",
        "Casing patch",
        "$100.00",
        "Before tax $100.00",
        "Tax 10 % $10.00",
        "Total $110.00",
        "Still to pay $110.00",
        "How to pay",
        "In cash or by card.",
        "Name invoice 0001 with it.",
    ):
        assert words in said


def test_a_deposit_is_set_off_and_the_rest_is_due(make, owner):
    made = make()
    payments.take(made.job, Decimal("33.00"), "card", who=owner, is_deposit=True)
    said = text(printed(made))
    assert "Deposit, card," in said
    assert "−$33.00" in said
    assert "Still to pay $77.00" in said


def test_paid_in_full_it_is_the_receipt(make, owner):
    made = make()
    payments.take(made.job, Decimal("110.00"), "cash", who=owner)
    said = text(printed(made))
    assert "Paid in full, with thanks." in said
    assert "Paid, cash," in said
    assert "by transfer" not in said


def test_a_transfer_finds_its_account_while_something_is_owed(make, owner):
    shop = current()
    shop.bank_details = "Northquay Loft\n\n Account 0000 1234 5678 \nSort code 00-00-00"
    shop.save()
    made = make()
    said = aloud(printed(made))
    assert "By transfer Northquay Loft Account 0000 1234 5678 Sort code 00-00-00" in said
    payments.take(made.job, Decimal("110.00"), "cash", who=owner)
    assert "0000 1234" not in text(printed(made))


def test_a_german_shop_says_in_german_how_money_came_in(make, owner):
    shop = current()
    shop.language = "de"
    shop.save()
    made = make()
    payments.take(made.job, Decimal("110.00"), "transfer", who=owner)
    assert "per Überweisung" in text(printed(made))


def test_what_went_back_stands_on_it(make, owner):
    made = make()
    payments.take(made.job, Decimal("110.00"), "cash", who=owner)
    payments.refund(made.job, Decimal("10.00"), "cash", who=owner, note="Late.")
    said = text(printed(made))
    assert "Given back, cash," in said
    assert "Still to pay $10.00" in said


def test_warranty_work_costs_nothing(make):
    said = text(printed(make(warranty=True)))
    assert "This was ours to mend: it costs you nothing." in said
    assert "Nothing to pay." in said


def test_discount_and_minimum_charge_lead_to_the_total(make):
    said = text(printed(make(discount_percent=Decimal(5), minimum_charge=Decimal(120))))
    assert "Up to the minimum charge $20.00" in said
    assert "Discount 5 % -$6.00" in said
    assert "Total $125.40" in said


def test_a_credit_says_what_it_takes_back_and_why(make, owner):
    made = make()
    credit = invoices.credit(made, who=owner, reason="Made out to the wrong person.")
    said = text(printed(credit))
    assert "Credit" in said
    assert "It takes back invoice 0001: Made out to the wrong person." in said
    assert "Credited in all" in said
    assert "-$110.00" in said
    assert "Taken back by credit 0002" in text(printed(made))


def test_it_says_what_was_agreed_even_when_the_customer_is_renamed(make):
    made = make()
    made.job.customer.name = "Somebody Else"
    made.job.customer.save()
    assert "Ida Quist" in text(printed(made))


@pytest.mark.parametrize(("paper", "size"), [("A4", (210, 297)), ("Letter", (216, 279))])
def test_it_is_one_tagged_page_with_its_fonts_inside(make, paper, size):
    pdf = printed(make(), paper)
    assert size_mm(pdf) == size
    assert len(pages(pdf)) == 1
    assert facts(pdf)["Tagged"] == "yes"
    assert facts(pdf)["Title"] == "Invoice 0001"
    assert all(fonts(pdf).values())
    assert aloud(pdf).index("Casing patch") < aloud(pdf).rindex("Still to pay")


def test_no_other_paper_is_known(make):
    with pytest.raises(ValueError, match="on A4 or on Letter"):
        printed(make(), "A5")


def test_typed_words_are_words_and_nothing_more(make):
    assert "{{7*7}}" in text(printed(make(name=HOSTILE)))
