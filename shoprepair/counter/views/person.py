"""What a person chooses for themselves."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from shoprepair.counter.forms.units import UnitsForm


@require_http_methods(["GET", "HEAD", "POST"])
def units(request: HttpRequest) -> HttpResponse:
    """The units in which somebody reads and types, whatever the shop uses."""
    form = UnitsForm(request.POST or None, shop=request.shop, person=request.user)
    if request.method == "POST" and form.is_valid():
        for name, unit in form.cleaned_data.items():
            setattr(request.user, name, unit)
        request.user.save(update_fields=list(form.cleaned_data))
        messages.success(request, gettext("From now on you read and type in these units."))
        return redirect("my-units")
    status = 422 if form.is_bound else 200
    return render(request, "counter/my_units.html", {"form": form}, status=status)
