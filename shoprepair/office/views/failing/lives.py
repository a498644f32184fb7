"""How long repairs hold: survival with its band, kinds of repair side by side, and what to set aside."""

from dataclasses import replace
from math import exp

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext
from django.views.decorators.http import require_safe

from shoprepair.cover import rates, survival
from shoprepair.cover.failing import lives as read
from shoprepair.cover.failing import reserve, smallness
from shoprepair.cover.failing.lives import Group
from shoprepair.office.forms.failing import BY_WORDS, LivesForm
from shoprepair.office.views.failing.figures import Figure, between, csv, of_chart
from shoprepair.office.views.failing.setting_aside import said as set_aside
from shoprepair.shop.access import owner_only
from shoprepair.shop.charts import (
    Cell,
    Dot,
    Stair,
    Step,
    Table,
    cell,
    dots,
    percent,
    plain,
    steps,
    table,
)
from shoprepair.shop.charts.scale import ticks
from shoprepair.shop.counted import counted
from shoprepair.shop.languages import gettext_lazy, in_a_sentence

ALL_REPAIRS = gettext_lazy("All repairs")
MOST_DRAWN = 14
HORIZONS = (1, 3, 5, 10)
MONTHS_UNTIL_YEARS = 1.5
FLOORS = (0.99, 0.95, 0.9, 0.8, 0.5, 0.0)
"""Where the upright axis may begin, so that rare failures can be seen."""
ENOUGH_AT_RISK = 10


@owner_only
@require_safe
def lives(request: HttpRequest) -> HttpResponse:
    """The report; with `table` the CSV of one of its figures."""
    every = read.lives()
    by = request.GET.get("by", "")
    by = by if by in read.BY else "operation"
    groups = read.groups(every, by)
    form = LivesForm(
        {**request.GET.dict(), "by": request.GET.get("by") or by}, names=[g.name for g in groups]
    )
    sound = form.is_valid()
    name = form.cleaned_data.get("of", "") if sound else ""
    chosen = next((group for group in groups if group.name == name), Group(ALL_REPAIRS, tuple(every)))
    figures = [_curve(chosen), _side_by_side(groups, by)] if every else []
    if slug := request.GET.get("table"):
        if answer := csv(figures, slug):
            return answer
        raise Http404
    claims = sum(life.failed for life in every)
    aside = set_aside(reserve.next_year(every, reserve.mean_cost()), claims, request.shop.currency)
    page = {
        "form": form,
        "all": chosen.name == ALL_REPAIRS,
        "chosen": chosen,
        "curve": figures[0] if figures else None,
        "side_by_side": figures[1] if figures else None,
        "aside": aside,
        "kept": _kept(request),
    }
    return render(request, "office/failing/lives.html", page, status=200 if sound else 422)


def _kept(request: HttpRequest) -> str:
    kept = request.GET.copy()
    kept.pop("table", None)
    return f"{kept.urlencode()}&" if kept else ""


def _curve(group: Group) -> Figure:
    longest = max(group.durations, default=0.0)
    of, scale = (
        (gettext("months since hand-back"), 12)
        if longest < MONTHS_UNTIL_YEARS
        else (gettext("years since hand-back"), 1)
    )
    rows = group.curve
    shown = (
        [Step(row.time * scale, row.survival, row.low, row.high) for row in rows]
        if rows
        else _bound(group, longest * scale, scale)
    )
    stair = Stair(
        shown,
        longest * scale,
        [life.years * scale for life in group.lives if not life.failed],
        [years * scale for years in group.durations],
    )
    chart = steps(
        stair,
        title=gettext("%(name)s: share that holds") % {"name": group.name},
        unique="share-that-holds",
        of=of,
        band=gettext("95 %% band") % {} if rows else gettext("not ruled out at 95 %"),
        lowest=next(floor for floor in FLOORS if floor <= min((s.low for s in shown), default=1.0)),
        when=lambda time: plain(round(time, 2)),
    )
    return of_chart(
        chart,
        1,
        finding=_held(group),
        caution=smallness.words(group.repairs, group.claims),
        note=_clusters(group),
    )


def _bound(group: Group, end: float, scale: int) -> list[Step]:
    """With no claim yet, the share that a constant rate at its upper bound would leave, at round times."""
    bound = rates.zero_rate_bound(group.years) / scale
    return [Step(time, 1.0, exp(-bound * time), 1.0) for time in ticks(0.0, end, 20) if time <= end]


def _held(group: Group) -> str:
    years = gettext("%(years)s repair-years") % {"years": plain(round(group.years, 1))}
    if not group.claims:
        bound = survival.zero_claim_bound(group.years)
        wear = survival.wearing_out_bound(group.durations, 10)
        return gettext(
            "No claim that was ours in %(years)s. That does not rule out up to %(bound)s "
            "claims in 100 repair-years; and if repairs wear out with age, up to "
            "%(wear)s could still fail within ten years. No claims so far say very "
            "little about a lifetime."
        ) % {"years": years, "bound": _per_100(bound), "wear": percent(wear)}
    rate = group.rate
    said = gettext(
        "%(count)s of %(repairs)s came back as ours in %(years)s: %(value)s claims "
        "in 100 repair-years, between %(low)s and %(high)s."
    ) % {
        "count": smallness.count(group.claims, "repair"),
        "repairs": plain(group.repairs),
        "years": years,
        "value": _per_100(rate.value),
        "low": _per_100(rate.low),
        "high": _per_100(rate.high),
    }
    return said + _after(group)


def _after(group: Group) -> str:
    """What holds after the longest round time that enough repairs have reached."""
    reached = zip(HORIZONS, survival.at_risk(group.durations, HORIZONS), strict=True)
    years = max((horizon for horizon, n in reached if n >= ENOUGH_AT_RISK), default=None)
    row = survival.at(group.curve, years) if years else None
    if row is None or years is None:
        return ""
    after = counted(years, "year")
    return gettext(" After %(after)s %(survival)s hold, %(low)s.") % {
        "after": after,
        "survival": percent(row.survival),
        "low": between(row.low, row.high),
    }


def _clusters(group: Group) -> str:
    gear = (
        gettext("one item of gear")
        if group.inflatables == 1
        else gettext("%(inflatables)s items of gear") % {"inflatables": plain(group.inflatables)}
    )
    return gettext(
        "%(count)s on %(gear)s. Repairs on one item fail together more often than "
        "the band allows for: the truth may lie farther out. Gear that was thrown "
        "away counts as still watched until somebody says so."
    ) % {"count": smallness.count(group.repairs, "repair"), "gear": gear}


def _per_100(rate: float) -> str:
    return plain(round(rate * 100, 2)) if rate < 1e6 else gettext("any number of")


def _side_by_side(groups: list[Group], by: str) -> Figure:
    drawn = groups[:MOST_DRAWN]
    chart = dots(
        [_dot(group) for group in drawn],
        title=gettext("Claims that were ours, side by side"),
        unique="claims-side-by-side",
        of=gettext("claims in 100 repair-years"),
        say=lambda value: plain(round(value, 2)),
        name=in_a_sentence(BY_WORDS[by]),
        note=gettext("ours of repairs"),
    )
    whole = replace(chart, table=_table(groups, by))
    small = sum(group.small for group in groups)
    hollow = (
        gettext("%(small)s of %(groups)s rest on fewer than 30 repairs or 5 claims: they are drawn hollow.")
        if small < len(groups) or small == 1
        else gettext("All %(groups)s rest on fewer than 30 repairs or 5 claims: they are drawn hollow.")
    ) % {"small": small, "groups": len(groups)}
    rest = (
        gettext(" The %(MOST_DRAWN)s watched longest are drawn, all are in the table.")
        % {"MOST_DRAWN": MOST_DRAWN}
        if len(groups) > MOST_DRAWN
        else ""
    )
    return of_chart(
        whole,
        2,
        finding=gettext("Told apart by %(lower)s. Where lines overlap, they may well be alike.%(rest)s")
        % {"lower": in_a_sentence(BY_WORDS[by]), "rest": rest},
        caution=hollow if small else "",
        note=gettext(
            "A repair by two people, or from two lots, counts with each. Of twenty rows, one stands apart "
            "by chance alone."
        ),
    )


def _dot(group: Group) -> Dot:
    rate = group.rate
    note = gettext("%(claims)s of %(repairs)s") % {
        "claims": plain(group.claims),
        "repairs": plain(group.repairs),
    }
    return Dot(group.name, rate.value * 100, rate.low * 100, rate.high * 100, note, group.small)


def _table(groups: list[Group], by: str) -> Table:
    head = [
        in_a_sentence(BY_WORDS[by]),
        gettext("repairs"),
        gettext("items of gear"),
        gettext("repair-years"),
        gettext("claims, ours"),
    ]
    head += [
        gettext("in 100 repair-years"),
        gettext("at least"),
        gettext("at most"),
        *(gettext("hold after %(y)s y") % {"y": y} for y in HORIZONS),
    ]
    return table(head, [_row(group) for group in groups])


def _row(group: Group) -> list[Cell]:
    rate, curve = group.rate, group.curve
    reached = survival.at_risk(group.durations, HORIZONS)
    held: list[Cell] = []
    for years, n in zip(HORIZONS, reached, strict=True):
        row = survival.at(curve, years)
        held.append(cell(row.survival if row else 1.0, percent) if n else "–")
    counts = [cell(n, plain) for n in (group.repairs, group.inflatables, round(group.years, 1), group.claims)]
    limits = [cell(100 * each, lambda v: plain(round(v, 2))) for each in (rate.value, rate.low, rate.high)]
    return [group.name, *counts, *limits, *held]
