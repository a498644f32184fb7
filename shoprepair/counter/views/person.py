"""What a person chooses for themselves."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import translation
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_POST

from shoprepair.counter.forms.units import UnitsForm
from shoprepair.shop import looks
from shoprepair.shop.keeping import page_before
from shoprepair.shop.languages import language_for


@require_http_methods(["GET", "HEAD", "POST"])
def units(request: HttpRequest) -> HttpResponse:
    """The units and the language in which somebody reads and types, whatever the shop uses."""
    form = UnitsForm(request.POST or None, shop=request.shop, person=request.user)
    if request.method == "POST" and form.is_valid():
        for name, unit in form.cleaned_data.items():
            setattr(request.user, name, unit)
        request.user.save(update_fields=list(form.cleaned_data))
        with translation.override(language_for(request.user, request.shop)):
            messages.success(request, gettext("From now on you read and type like this."))
        return redirect("my-units")
    status = 422 if form.is_bound else 200
    return render(request, "counter/my_units.html", {"form": form}, status=status)


@require_POST
def look(request: HttpRequest) -> HttpResponse:
    """How the screens of this device look from now on; back to the page that it was changed on.

    A script that has changed it already asks only for the form that changes it again.
    """
    wanted = request.POST.get("look", "")
    wanted = wanted if wanted in looks.NEXT else looks.BY_ITSELF
    if request.htmx:
        answer = render(request, "parts/look.html", {"look": wanted})
    else:
        answer = redirect(page_before(request) or "rack")
    looks.choose(answer, wanted)
    return answer
