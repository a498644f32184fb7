"""Photos at a step."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_POST

from shoprepair.bench.fetch import fetch_step
from shoprepair.bench.forms.ticks import BenchPhotoForm
from shoprepair.bench.views.job import show
from shoprepair.jobs.models import Photo
from shoprepair.jobs.photos import read
from shoprepair.shop.models import Staff
from shoprepair.shop.submissions import check, done_before, once
from shoprepair.work import photos
from shoprepair.work.models import Step


@require_POST
def photo(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Keep a photo of this step. Sent twice, it is kept once."""
    step = fetch_step(number, pk)
    form = BenchPhotoForm(request.POST, request.FILES)
    try:
        if not form.is_valid():
            raise ValueError(form.sentence)
        kept = _keep_once(step, form, request.user)
    except ValueError as refused:
        return show(request, number, pk, status=422, photo_refused=str(refused))
    seen = gettext(" The customer sees it.") if kept.shared else ""
    messages.success(request, gettext("The photo is kept.%(seen)s") % {"seen": seen})
    return redirect(f"{reverse('bench-step', args=[number, pk])}#photos-{pk}")


def _keep_once(step: Step, form: BenchPhotoForm, who: Staff) -> Photo:
    """The photo, its moment and its key come together, or none of them; only decoding stays outside."""
    said = form.cleaned_data
    check(said["key"])
    if said["key"] and (seen := done_before(said["key"], who)):
        return Photo.objects.get(key=seen)
    picture = read(said["photo"])

    def keep() -> str:
        return photos.keep(step, picture, said["moment"], who=who, shared=said["shared"]).key

    return Photo.objects.get(key=once(said["key"], who, keep))
