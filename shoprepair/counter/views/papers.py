"""The papers of a job, made as they are asked for."""

from collections.abc import Callable

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

from shoprepair.counter.sheet import find_job
from shoprepair.jobs.models import Job
from shoprepair.papers import bag_tag as tag
from shoprepair.papers import quote as price
from shoprepair.papers import work_order as order
from shoprepair.papers.answer import pdf_response
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Quote
from shoprepair.shop.models import Paper, TagPaper


@require_safe
@cache_control(private=True, no_store=True)
def work_order(request: HttpRequest, number: int) -> HttpResponse:
    """The work order as PDF, on the shop's paper or on the one asked for."""
    paper = _asked(request, Paper.values, request.shop.paper)
    return _pdf(request, number, order.render, paper, "work-order")


@require_safe
@cache_control(private=True, no_store=True)
def bag_tag(request: HttpRequest, number: int) -> HttpResponse:
    """The bag tag as PDF, for the shop's label printer or for the paper asked for."""
    paper = _asked(request, TagPaper.values, request.shop.tag_paper)
    return _pdf(request, number, tag.render, paper, "bag-tag")


@require_safe
@cache_control(private=True, no_store=True)
def quote_pdf(request: HttpRequest, number: int) -> HttpResponse:
    """A quote of the job as PDF: the version asked for, else the draft, else the one that counts."""
    job = find_job(number)
    quote = _version(job, request.GET.get("version", ""))
    if quote is None:
        raise Http404
    content = price.render(
        quote, paper=_asked(request, Paper.values, request.shop.paper), base_url=_base_url(request)
    )
    return pdf_response(content, f"quote-{price.number(quote)}.pdf")


def _version(job: Job, asked: str) -> Quote | None:
    if asked:
        return quotes.versions(job).filter(number=int(asked)).first() if asked.isdecimal() else None
    return quotes.open_draft(job) or quotes.current(job) or quotes.versions(job).first()


def _asked(request: HttpRequest, known: list[str], usual: str) -> str:
    asked = request.GET.get("paper", "")
    return asked if asked in known else usual


def _pdf(
    request: HttpRequest, number: int, render: Callable[..., bytes], paper: str, name: str
) -> HttpResponse:
    job = find_job(number)
    return pdf_response(render(job, paper=paper, base_url=_base_url(request)), f"{name}-{job}.pdf")


def _base_url(request: HttpRequest) -> str:
    return request.shop.web_address or request.build_absolute_uri("/")
