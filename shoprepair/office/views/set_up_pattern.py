"""The step of setting up in which a pattern may be drawn from six figures, the drawing beside them."""

from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from shoprepair.gear import describe, diagram, six_figures
from shoprepair.gear.library import IN_LIBRARY
from shoprepair.office.first_steps import after, mark_done
from shoprepair.office.forms.set_up import LIBRARY, FirstPatternForm
from shoprepair.office.views.once import made
from shoprepair.office.views.patterns import whole
from shoprepair.office.views.set_up import READ_OR_SEND, step_page
from shoprepair.shop.access import owner_only


@owner_only
@require_http_methods(READ_OR_SEND)
def first_pattern(request: HttpRequest) -> HttpResponse:
    """The library, or one more pattern; with `try` it is only drawn."""
    sent = request.POST if request.method == "POST" else None
    form = FirstPatternForm(request.units, sent, initial={"key": uuid4().hex})
    is_try = sent is not None and "try" in sent
    if sent is not None and not is_try and (place := made(request, form, lambda: _keep(request, form))):
        return redirect(place)
    more = {"tried": is_try, **_drawn(form)}
    if is_try and getattr(request, "htmx", False):
        return render(request, "office/set_up/drawn.html", more | {"form": form})
    library = whole().filter(**IN_LIBRARY).order_by("kind", "area_m2", "name")
    glyphs = [(each, diagram.draw(describe.planform(each), detail="glyph")) for each in library]
    return step_page(request, "pattern", form, more | {"library": glyphs})


def _keep(request: HttpRequest, form: FirstPatternForm) -> str:
    if form.wants_own:
        figures, said = form.figures(), form.cleaned_data
        name = said["name"] or gettext("Ours, %(span)s") % {"span": said["span"].text}
        pattern = six_figures.add(
            figures, name=name, rated_pressure_typed=said["pressure"].text, who=request.user
        )
        messages.success(request, gettext("%(pattern)s is in the library.") % {"pattern": pattern})
    mark_done("pattern", request.shop, who=request.user)
    return after("pattern")


def _drawn(form: FirstPatternForm) -> dict[str, Any]:
    """The drawing by what stands in the form, or what keeps it from being drawn."""
    asked = form
    if not form.is_bound or form.data.get("choice") == LIBRARY:
        usual = {name: form[name].initial for name in form.fields} | {"choice": "ours"}
        asked = FirstPatternForm(form.units, usual)
    if not asked.is_valid():
        return {"drawing": "", "clash": ""}
    try:
        planform = six_figures.planform(asked.figures())
    except ValueError as refused:
        return {"drawing": "", "clash": str(refused)}
    title = gettext("As it would be drawn")
    return {"drawing": diagram.draw(planform, title=title, unique="first"), "clash": ""}
