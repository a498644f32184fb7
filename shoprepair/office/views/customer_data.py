"""What the shop holds about one customer, and erasing it."""

from django.contrib import messages
from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_safe

from shoprepair.jobs import erasure, personal
from shoprepair.jobs.models import Customer
from shoprepair.office import personal_page
from shoprepair.office.forms.leaving import EraseForm
from shoprepair.shop import journal
from shoprepair.shop.access import owner_only


@owner_only
@require_safe
def data(request: HttpRequest, pk: int) -> HttpResponse:
    """Everything held about a customer, to be read."""
    customer = get_object_or_404(Customer, pk=pk)
    page = {"customer": customer, "sections": personal_page.sections(customer)}
    return render(request, "office/leaving/customer.html", page)


@owner_only
@require_safe
def download(_request: HttpRequest, pk: int) -> FileResponse:
    """The same as one file for the customer: a page, JSON, and the photos they were shown."""
    customer = get_object_or_404(Customer, pk=pk)
    made = personal_page.packed(customer)
    name = f"customer-{customer.pk}-{timezone.localdate():%Y%m%d}.zip"
    answer = FileResponse(made, as_attachment=True, filename=name, content_type="application/zip")
    answer["Cache-Control"] = "no-store"
    return answer


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def erase(request: HttpRequest, pk: int) -> HttpResponse:
    """What goes and what stays; a POST with the customer's name typed erases."""
    customer = get_object_or_404(Customer, pk=pk)
    form = EraseForm(request.POST if request.method == "POST" else None)
    if form.is_bound and form.is_valid() and _erase(request, form, customer):
        messages.success(
            request,
            gettext("Erased. What stays of their visits is under “%(name)s”.") % {"name": customer.name},
        )
        return redirect("leaving")
    page = {
        "customer": customer,
        "form": form,
        "refusals": erasure.refusals(customer),
        "kept": personal_page.invoices_kept(customer),
        "done": journal.entries(customer).filter(verb="customer.erased").first(),
        "name_kept": personal.erased_name(customer),
    }
    return render(request, "office/leaving/erase.html", page, status=422 if form.is_bound else 200)


def _erase(request: HttpRequest, form: EraseForm, customer: Customer) -> bool:
    said = form.cleaned_data
    try:
        erasure.erase(customer, said["name"], who=request.user, photos_too=said["photos"])
    except erasure.ErasureRefused as refused:
        for reason in refused.reasons:
            form.add_error("name", reason)
        return False
    return True
