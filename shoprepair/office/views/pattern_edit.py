"""Correcting the figures of a pattern."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from shoprepair.gear import changes, describe, diagram
from shoprepair.gear.models import Pattern
from shoprepair.office.forms.patterns import PatternForm
from shoprepair.office.views.lines import lines
from shoprepair.office.views.pattern_words import say_change
from shoprepair.office.views.patterns import JOURNAL_LENGTH, open_jobs, whole
from shoprepair.office.views.refused import say_stale
from shoprepair.office.views.resting import warn_of_jobs
from shoprepair.shop import journal
from shoprepair.shop.access import owner_only
from shoprepair.shop.changes import ChangedMeanwhile

JUDGED_BY_NONE = {"name", "new_price"}
"""What no assessment rests on."""


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def edit(request: HttpRequest, pk: int) -> HttpResponse:
    pattern = get_object_or_404(whole(), pk=pk)
    form = PatternForm(pattern, request.units, request.POST if request.method == "POST" else None)
    if form.is_bound and form.is_valid() and _save(request, pattern, form):
        return redirect("pattern", pk=pk)
    page = {
        "pattern": pattern,
        "drawing": diagram.draw(describe.planform(pattern), title=str(pattern), unique="edit"),
        "form": form,
        "boxes": {box.data["value"]: box for box in form["assumed"]},
        "open_jobs": open_jobs(pattern).count(),
        "lines": lines(journal.entries(pattern)[:JOURNAL_LENGTH], say_change(request.units)),
    }
    return render(request, "office/pattern_edit.html", page, status=422 if form.is_bound else 200)


def _save(request: HttpRequest, pattern: Pattern, form: PatternForm) -> bool:
    try:
        changed = changes.change_pattern(
            pattern,
            who=request.user,
            version=form.cleaned_data["version"],
            fields=form.figures(),
            tubes=form.tube_changes(),
        )
    except changes.NameTaken as refused:
        form.add_error("name", str(refused))
        return False
    except ChangedMeanwhile as refused:
        say_stale(form, str(refused), Pattern.objects.get(pk=pattern.pk).version, field="version")
        return False
    except ValueError as refused:
        form.add_error(None, str(refused))
        return False
    _say_saved(request, pattern, set(changed))
    return True


def _say_saved(request: HttpRequest, pattern: Pattern, changed: set[str]) -> None:
    if not changed:
        messages.info(request, gettext("Nothing was different, so nothing was changed."))
        return
    messages.success(
        request,
        gettext("Saved. Version %(value)s of %(pattern)s.")
        % {"value": pattern.version + 1, "pattern": pattern},
    )
    if changed - JUDGED_BY_NONE:
        warn_of_jobs(request, open_jobs(pattern).count())
