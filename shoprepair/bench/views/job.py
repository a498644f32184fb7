"""A job at the bench: its steps as a list, or one of them large."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from shoprepair.bench import queue, work_page
from shoprepair.bench.fetch import fetch_job, fetch_step
from shoprepair.bench.step_materials import step_materials
from shoprepair.work import stock


@require_safe
def job(request: HttpRequest, number: int) -> HttpResponse:
    return show(request, number)


@require_safe
def step(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    return show(request, number, pk)


def show(
    request: HttpRequest, number: int, pk: int | None = None, *, status: int = 200, **said: Any
) -> HttpResponse:
    """The page of a job's steps; with `pk`, that step large."""
    found = fetch_job(number)
    context = work_page.page(
        found, request.user, request.units, present=pk, done=_whole(request.GET.get("done", ""))
    )
    if pk is not None:
        context |= {"materials": step_materials(fetch_step(number, pk), request.user)}
    else:
        context |= {"lots": stock.lots_of(found), **queue.on_me(request.user)}
    return render(request, "bench/job.html", context | said, status=status)


def _whole(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 18 else None
