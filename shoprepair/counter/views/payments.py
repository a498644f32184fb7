"""Money for a job: what comes in, what goes back, and the invoice over it."""

from collections.abc import Callable

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_POST, require_safe
from django.views.decorators.vary import vary_on_headers

from shoprepair.counter.contact import base_url
from shoprepair.counter.forms.hand_back import PaymentForm, RefundForm
from shoprepair.counter.hand_back import is_deposit, payment_form
from shoprepair.counter.sheet import find_job
from shoprepair.counter.views.hand_back import page
from shoprepair.jobs.models import Job
from shoprepair.papers import invoice as paper
from shoprepair.papers.answer import pdf_response
from shoprepair.shop.access import counter_only
from shoprepair.shop.models import Paper
from shoprepair.shop.submissions import once
from shoprepair.work import invoices, payments
from shoprepair.work.models import Invoice, Payment


@counter_only
@require_POST
@vary_on_headers("HX-Request")
def payment(request: HttpRequest, number: int) -> HttpResponse:
    """Write down what came in. Sent twice, it came in once."""
    job = find_job(number)
    form = payment_form(job, invoices.owed(job), request.POST)

    def take() -> Payment:
        said = form.cleaned_data
        return payments.take(
            job,
            said["amount"],
            said["method"],
            who=request.user,
            is_deposit=is_deposit(job),
            note=said["note"],
        )

    return _carry_out(request, job, form, "pay", take, gettext("{} is paid."))


@counter_only
@require_POST
@vary_on_headers("HX-Request")
def refund(request: HttpRequest, number: int) -> HttpResponse:
    """Write down what went back: the owner does, and says why."""
    job = find_job(number)
    form = RefundForm(request.POST, currency=invoices.owed(job).currency)

    def give_back() -> Payment:
        said = form.cleaned_data
        return payments.refund(job, said["amount"], said["method"], who=request.user, note=said["note"])

    return _carry_out(request, job, form, "back", give_back, gettext("{} went back to the customer."))


def _carry_out(
    request: HttpRequest,
    job: Job,
    form: PaymentForm,
    name: str,
    act: Callable[[], Payment],
    told: str,
) -> HttpResponse:
    """One movement of money, written once; refused, with everything that was typed."""
    if not form.is_valid():
        return page(request, job, status=422, **{name: form})
    said: list[str] = []

    def do() -> str:
        made = act()
        said.append(told.format(invoices.owed(job).said(abs(made.amount))))
        return reverse("hand-back", args=[job.number])

    try:
        there = once(request.POST.get("key", ""), request.user, do)
    except payments.PaymentRefused as refusal:
        if not refusal.field:
            return page(request, job, status=422, refused=[str(refusal)])
        form.add_error(refusal.field, str(refusal))
        return page(request, job, status=422, **{name: form})
    if request.htmx:
        return page(request, find_job(job.number), done="".join(said))
    for words in said:
        messages.success(request, words)
    return redirect(there)


@counter_only
@require_POST
def invoice(request: HttpRequest, number: int) -> HttpResponse:
    """Make the invoice over all that was agreed, or find the one that says so already."""
    job = find_job(number)
    try:
        made = invoices.make(job, who=request.user)
    except invoices.InvoiceRefused as refusal:
        return page(request, job, status=422, refused=[str(refusal)])
    messages.success(request, gettext("Invoice %(made)s is made.") % {"made": made})
    return redirect("hand-back", job.number)


@counter_only
@require_POST
def credit(request: HttpRequest, number: int) -> HttpResponse:
    """Take the invoice in force back: the owner does, and says why."""
    job, reason = find_job(number), request.POST.get("reason", "")
    standing = invoices.standing(job)
    if standing is None:
        return page(request, job, status=422, refused=[gettext("There is no invoice to take back.")])
    try:
        made = invoices.credit(standing, who=request.user, reason=reason)
    except invoices.InvoiceRefused as refusal:
        if not request.user.is_owner:
            return page(request, job, status=422, refused=[str(refusal)])
        return page(request, job, status=422, credit_error=str(refusal), credit_reason=reason)
    messages.success(request, gettext("Credit %(made)s takes the invoice back.") % {"made": made})
    return redirect("hand-back", job.number)


@require_safe
@cache_control(private=True, no_store=True)
def invoice_pdf(request: HttpRequest, number: int) -> HttpResponse:
    """The invoice in force as PDF, or the one or the credit that is asked for by its number."""
    job, asked = find_job(number), request.GET.get("number", "")
    shown = _asked(job, asked)
    if shown is None:
        raise Http404
    size = request.GET.get("paper", "")
    size = size if size in Paper.values else request.shop.paper
    content = paper.render(shown, paper=size, base_url=base_url(request))
    return pdf_response(content, f"{paper.title(shown).lower()}-{shown}.pdf")


def _asked(job: Job, asked: str) -> Invoice | None:
    if not asked:
        return invoices.standing(job)
    if not (asked.isascii() and asked.isdecimal() and len(asked) < 10):
        return None
    return invoices.of(job).filter(number=int(asked)).first()
