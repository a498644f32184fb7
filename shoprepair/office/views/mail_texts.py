"""The letters' wording: which there are, when each goes, and how it reads."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import translation
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shoprepair.office.forms.mail_texts import MailTextForm
from shoprepair.office.letter_samples import samples
from shoprepair.office.views.lines import Said, lines
from shoprepair.office.views.refused import say_stale
from shoprepair.shop import journal, undoing
from shoprepair.shop.access import owner_only
from shoprepair.shop.changes import ChangedMeanwhile
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Letter
from shoprepair.shop.outbox import texts, worker

JOURNAL_LENGTH = 20
STUCK_SHOWN = 20
LONGEST_VERSION = 10
LABELS = {"subject": gettext_lazy("Subject"), "body": gettext_lazy("Text of the letter")}


@owner_only
@require_safe
def mail_texts(request: HttpRequest) -> HttpResponse:
    """How the outbox stands, what did not leave, and every text."""
    with translation.override(request.shop.language):
        said = [(text, texts.wording(text.code)) for text in texts.TEXTS.values()]
    page = {
        "outbox": worker.standing(request.shop),
        "stuck": [(letter, _job_of(letter)) for letter in worker.stuck()[:STUCK_SHOWN]],
        "texts": said,
    }
    return render(request, "office/mail_texts.html", page)


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def mail_text(request: HttpRequest, code: str) -> HttpResponse:
    """One letter's wording; a POST changes it, or only shows how it would read."""
    text = _text(code)
    form = _form(request, text)
    only_look = "look" in request.POST
    if form.is_bound and form.is_valid() and not only_look and _save(request, form):
        return redirect("mail-texts")
    return _page(request, form, status=422 if form.errors else 200)


@owner_only
@require_POST
def preview(request: HttpRequest, code: str) -> HttpResponse:
    """The letter as it would go out, while it is being worded."""
    form = _form(request, _text(code))
    form.is_valid()
    return render(
        request, "office/mail_preview.html", {"form": form, "preview": form.preview(), "live": True}
    )


@owner_only
@require_POST
def reset(request: HttpRequest, code: str) -> HttpResponse:
    """Go back to the program's own wording."""
    text = _text(code)
    version = request.POST.get("version", "")
    seen = int(version) if version.isdecimal() and len(version) < LONGEST_VERSION else -1
    try:
        with translation.override(request.shop.language):
            was = texts.wording(code)
            now = texts.reset(code, who=request.user, version=seen)
    except ChangedMeanwhile as refused:
        messages.error(request, str(refused))
    else:
        told = gettext("“%(letter)s” has the program's own wording again.") % {"letter": text.name}
        back = {"subject": was.subject, "body": was.body, "version": now.version}
        undoing.tell(request, told, reverse("mail-text", args=[code]), **back)
    return redirect("mail-text", code)


def _form(request: HttpRequest, text: texts.Text) -> MailTextForm:
    """The wording as it goes out: the program's own in the language of the shop, whoever looks."""
    with translation.override(request.shop.language):
        own = samples(request.shop)
        return MailTextForm(text, own, request.POST if request.method == "POST" else None)


def _save(request: HttpRequest, form: MailTextForm) -> bool:
    said = form.cleaned_data
    if not _differs(form):
        messages.success(request, gettext("Nothing was different."))
        return True
    try:
        with translation.override(request.shop.language):
            texts.change(
                form.text.code,
                who=request.user,
                version=said["version"],
                subject=said["subject"],
                body=said["body"],
            )
    except ChangedMeanwhile as refused:
        form.now = texts.wording(form.text.code)
        say_stale(form, str(refused), form.now.version, field="version")
        return False
    messages.success(
        request, gettext("Saved: “%(letter)s” reads so from the next letter on.") % {"letter": form.text.name}
    )
    return True


def _differs(form: MailTextForm) -> bool:
    said, now = form.cleaned_data, form.now
    return (said["subject"], said["body"].split()) != (now.subject, now.body.split())


def _page(request: HttpRequest, form: MailTextForm, *, status: int) -> HttpResponse:
    page = {
        "form": form,
        "text": form.text,
        "now": form.now,
        "stale": bool(form.non_field_errors()),
        "preview": form.preview(),
        "lines": lines(journal.entries(f"mail-text:{form.text.code}")[:JOURNAL_LENGTH], _say_change),
    }
    return render(request, "office/mail_text.html", page, status=status)


def _text(code: str) -> texts.Text:
    try:
        return texts.TEXTS[code]
    except KeyError:
        raise Http404 from None


def _say_change(name: str, before: Any, after: Any) -> list[Said]:
    return [(LABELS.get(name, name), str(before), str(after))]


def _job_of(letter: Letter) -> str:
    """The address of the job or the transfer that the letter is about; empty for anything else."""
    kind, _, number = letter.about.partition(":")
    return reverse(kind, args=[number]) if kind in ("job", "transfer") and number.isdecimal() else ""
