"""A second person's look at a job."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_POST

from shoprepair.bench import hold_page
from shoprepair.bench.fetch import fetch_job
from shoprepair.bench.forms.hold import CheckForm
from shoprepair.shop.submissions import once
from shoprepair.work import checks


@require_POST
def check(request: HttpRequest, number: int) -> HttpResponse:
    """Write down what was found. Sent twice, it is written once."""
    job = fetch_job(number)
    form = CheckForm(request.POST)
    here = reverse("hold-test", args=[number])

    def carry_out() -> str:
        said = form.cleaned_data
        made = checks.check(job, said["passed"] == "yes", said["note"], who=request.user)
        found = (
            gettext("Looked at and found good.")
            if made.passed
            else gettext("A fault is found. The job is back on the bench.")
        )
        messages.success(request, found)
        return here

    if form.is_valid():
        try:
            return redirect(once(request.POST.get("key", ""), request.user, carry_out))
        except checks.CheckRefused as refused:
            form.add_error("note" if "Say what" in str(refused) else None, str(refused))
    job.refresh_from_db(fields=("stage",))
    return render(request, "bench/hold/page.html", hold_page.page(request, job, check_form=form), status=422)
