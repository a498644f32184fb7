"""The papers of a job, made as they are asked for."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

from shoprepair.counter.sheet import find_job
from shoprepair.jobs.models import Job
from shoprepair.papers import asked_again
from shoprepair.papers import bag_tag as tag
from shoprepair.papers import work_order as order
from shoprepair.papers.answer import pdf_response
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


def _asked(request: HttpRequest, known: list[str], usual: str) -> str:
    asked = request.GET.get("paper", "")
    return asked if asked in known else usual


def _pdf(
    request: HttpRequest, number: int, render: Callable[..., bytes], paper: str, name: str
) -> HttpResponse:
    base_url = _base_url(request)
    content = asked_again.paper(
        (name, number, paper, base_url), lambda: render(find_job(number), paper=paper, base_url=base_url)
    )
    return pdf_response(content, f"{name}-{Job(number=number)}.pdf")


def _base_url(request: HttpRequest) -> str:
    return request.shop.web_address or request.build_absolute_uri("/")
