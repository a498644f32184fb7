"""A question asked on the status link."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import translation
from django.views.decorators.http import require_http_methods

from shoprepair.jobs import conversation, links
from shoprepair.jobs.models import StatusLink
from shoprepair.portal.forms.question import QuestionForm
from shoprepair.portal.guard import TOO_OLD, by_link, from_our_form
from shoprepair.portal.page import page


@by_link
@require_http_methods(["GET", "HEAD", "POST"])
def ask(request: HttpRequest, link: StatusLink) -> HttpResponse:
    """Keep a question; one that cannot be kept comes back as it was typed, with the reason."""
    back = f"{links.path(link)}#conversation"
    if request.method != "POST":
        return redirect(back)
    form = QuestionForm(request.POST)
    if not from_our_form(request):
        return page(request, link, status=403, question=form, question_trouble=TOO_OLD)
    if not form.is_valid():
        return page(request, link, status=422, question=form)
    try:
        # What is kept of it is read by the shop.
        with translation.override(request.shop.language):
            conversation.ask(link.job, **form.cleaned_data)
    except conversation.NotSaid as refusal:
        return page(request, link, status=429, question=form, question_trouble=str(refusal))
    return redirect(back)
