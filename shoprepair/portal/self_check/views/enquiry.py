"""The one form of the self-check: what was told becomes an enquiry at the shop."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import get_language
from django.views.decorators.http import require_http_methods, require_safe

from shoprepair.jobs.enquiries import limits, making, quotas
from shoprepair.jobs.models import Enquiry
from shoprepair.portal.forms.enquiry import TRAP, EnquiryForm, blank, new_key
from shoprepair.portal.guard import from_our_form, public
from shoprepair.portal.page import base_url
from shoprepair.portal.self_check import address, enquiry, uploads
from shoprepair.portal.self_check.address import Address
from shoprepair.portal.self_check.enquiry import TOO_OFTEN
from shoprepair.portal.self_check.page import closed, surroundings
from shoprepair.portal.self_check.uploads import FewPhotos
from shoprepair.shop.bodies import bounds_itself
from shoprepair.shop.limits import address as address_of
from shoprepair.shop.units import units_for


def _open(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """A page for anyone, in their language, never kept and never framed; closed with the self-check."""

    @wraps(view)
    def opened(request: HttpRequest) -> HttpResponse:
        return view(request) if request.shop.self_check_open else closed(request)  # type: ignore[attr-defined]

    return public(opened)


@_open
@require_http_methods(["GET", "HEAD", "POST"])
@bounds_itself
def send(request: HttpRequest) -> HttpResponse:
    """Ask who they are; keep the enquiry, or show again what was typed with what is wrong in it."""
    at = address.read(request)
    if at.question:
        return redirect(at.to())
    if request.method != "POST":
        return _page(request, at, blank())
    if uploads.over_large(request):
        return _page(request, at, blank(), status=413, trouble=enquiry.too_large())
    taken = uploads.bounded(request)
    return _sent(request, at, EnquiryForm(request.POST), taken)


def _sent(request: HttpRequest, at: Address, form: EnquiryForm, taken: FewPhotos) -> HttpResponse:
    if not from_our_form(request) or not form.our_key:
        return _page(request, at, form, status=403, trouble=enquiry.too_old())
    if form.trapped:
        return redirect("enquiry-thanks")
    if known := making.sent_before(form.our_key):
        return redirect(enquiry.after(known))
    if not form.is_valid() or taken.problems:
        return _page(request, at, form, status=422, photo_errors=taken.problems)
    return _kept(request, at, form, taken)


def _kept(request: HttpRequest, at: Address, form: EnquiryForm, taken: FewPhotos) -> HttpResponse:
    files, visitor = request.FILES.getlist("photos"), address_of(request)
    if files and not limits.may_send_photos(visitor):
        return _page(request, at, form, status=429, trouble=TOO_OFTEN)
    try:
        pictures = making.readable(files)
        if not limits.may_send(visitor, form.cleaned_data["contact"]):
            return _page(request, at, form, status=429, trouble=TOO_OFTEN)
        made = making.send(
            at.all_told,
            name=form.cleaned_data["name"],
            contact=form.data["contact"],
            words=form.cleaned_data["words"],
            comes=form.cleaned_data["comes"],
            language=get_language() or "en",
            key=form.our_key,
            photos=pictures,
            charge=enquiry.charge(at),
            base_url=base_url(request),
        )
    except ValidationError as error:
        return _page(request, at, form, status=422, photo_errors=error.messages)
    return redirect(enquiry.after(made, photos_left_out=made.job.photos.count() < taken.files))


@_open
@require_safe
def thanks(request: HttpRequest) -> HttpResponse:
    """What a program reads that has filled what nobody sees: nothing was kept."""
    return render(request, "portal/self_check/thanks.html", surroundings(request))


def _page(
    request: HttpRequest, at: Address, form: EnquiryForm, *, status: int = 200, trouble: str = "", **more: Any
) -> HttpResponse:
    context = {
        "address": at,
        "here": at.to("enquiry"),
        "back": at.to(),
        "pieces": enquiry.pieces(at, units_for(None, request.shop)),  # type: ignore[attr-defined]
        "form": form,
        "key": form.our_key or new_key(),
        "trap": TRAP,
        "ways": Enquiry.Comes,
        "most_photos": quotas.MOST_PHOTOS,
        "room": quotas.room(),
        "trouble": trouble,
        "too_often": trouble == TOO_OFTEN,
        **surroundings(request),
        **more,
    }
    return render(request, "portal/self_check/enquiry.html", context, status=status)
