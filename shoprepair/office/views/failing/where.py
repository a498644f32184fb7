"""What fails: where on the gear, at what age, what comes back, and what bursts against what was reckoned."""

from collections.abc import Iterator
from dataclasses import replace

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import SafeString
from django.utils.translation import gettext
from django.views.decorators.http import require_safe

from shoprepair.cover.failing import ages, bursts, density, gear, repeats, smallness
from shoprepair.cover.failing.asked import Asked
from shoprepair.gear import describe, kept_drawings
from shoprepair.gear.geometry import OffTheDrawing, resolve
from shoprepair.gear.planform import Planform
from shoprepair.gear.words import place_sentence
from shoprepair.office.forms.failing import AskedForm
from shoprepair.office.views.failing.figures import Figure, between, csv, of_chart, share_dot
from shoprepair.shop.access import owner_only
from shoprepair.shop.charts import Bar, Chart, bars, dots, percent, plain, table
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.settings import cases
from shoprepair.shop.units import Units, say

PLURAL = {"wing": gettext_lazy("wings"), "kite": gettext_lazy("kites")}
ON = {
    "leading edge": gettext_lazy("the leading edge"),
    "strut": gettext_lazy("struts"),
    "canopy": gettext_lazy("the canopy"),
    "window": gettext_lazy("windows"),
    "trailing edge": gettext_lazy("the trailing edge"),
    "handle": gettext_lazy("handles"),
    "bridle point": gettext_lazy("bridle points"),
    "valve": gettext_lazy("valves"),
    "hose": gettext_lazy("hoses"),
}


@owner_only
@require_safe
def where(request: HttpRequest) -> HttpResponse:
    """The report; with `table` the CSV of one of its figures."""
    form = AskedForm(request.GET)
    asked = form.asked() if form.is_valid() else Asked()
    of = density.heaps(asked)
    sections = _sections(asked, of, request.units) if of else []
    figures = [figure for section in sections for figure in section["figures"]]
    if slug := request.GET.get("table"):
        if answer := csv(figures, slug):
            return answer
        raise Http404
    page = {
        "form": form,
        "all": asked.is_all,
        "sections": sections,
        "nothing": form.is_valid() and not sections,
        "damages": sum(heap.count for heap in of),
        "kept": _kept(request),
    }
    return render(request, "office/failing/where.html", page, status=200 if form.is_valid() else 422)


def _kept(request: HttpRequest) -> str:
    """What was asked, as it goes on in the address of a table."""
    kept = request.GET.copy()
    kept.pop("table", None)
    return f"{kept.urlencode()}&" if kept else ""


def _sections(asked: Asked, of: list[density.Heap], units: Units) -> list[dict[str, object]]:
    """The report's sections, with their figures numbered through."""
    numbers = iter(range(1, 20))
    return [
        {"title": gettext("Where it fails"), "figures": list(_density(asked, of, numbers, units))},
        {"title": gettext("At what age"), "figures": [_ages(asked, next(numbers))]},
        {"title": gettext("What comes back"), "figures": list(_repeats(asked, numbers))},
        {"title": gettext("What was reckoned, and what burst"), "figures": list(_bursts(asked, numbers))},
    ]


def _density(asked: Asked, of: list[density.Heap], numbers: Iterator[int], units: Units) -> Iterator[Figure]:
    patterns = gear.standing_for(asked)
    lent = kept_drawings.kept(list(patterns.values()))
    for (kind, pattern), kept in zip(patterns.items(), lent, strict=True):
        here = [heap for heap in of if heap.kind == kind]
        planform = describe.planform(pattern)
        marks = density.marks(planform, here)
        title = gettext("Damages on %(PLURAL)s") % {"PLURAL": PLURAL[kind]}
        total = sum(heap.count for heap in here)
        yield Figure(
            number=next(numbers),
            slug=f"damages-on-{kind}s",
            title=title,
            finding=_densest(planform, here, marks, units),
            caution=smallness.few(total, "damage"),
            note=gettext(
                "Drawn on %(pattern)s. Damages on other patterns lie at the same share of span and chord."
            )
            % {"pattern": pattern},
            svg=density.draw(planform, marks, title=title, unique=f"damages-on-{kind}s", kept=kept),
            table=density.counted(here),
            key=density.key(marks),
        )


def _densest(planform: Planform, here: list[density.Heap], marks: list[density.Mark], units: Units) -> str:
    total, parts = sum(heap.count for heap in here), dict[str, int]()
    for heap in here:
        parts[heap.element] = parts.get(heap.element, 0) + heap.count
    part, most = max(parts.items(), key=lambda found: found[1])
    said = gettext("%(count)s. %(percent)s lie on %(ON)s.") if total > 1 else gettext("%(count)s, on %(ON)s.")
    said %= {"count": smallness.count(total, "damage"), "percent": percent(most / total), "ON": ON[part]}
    fullest = marks[0]
    if fullest.count < smallness.FEW_EVENTS:
        return said
    try:
        spot = resolve(planform, *fullest.at)
    except OffTheDrawing:
        return said
    where = say(place_sentence(planform, spot.place, *fullest.at), units)
    return gettext("%(said)s The fullest spot holds %(count)s: %(where)s.") % {
        "said": said,
        "count": plain(fullest.count),
        "where": where,
    }


def _ages(asked: Asked, number: int) -> Figure:
    found = ages.ages(asked)
    rows = [
        Bar(f"{years}" if years < ages.OLDEST else f"{years}+", [n]) for years, n in enumerate(found.counts)
    ]
    chart = bars(
        rows,
        [gettext("damages")],
        title=gettext("Damages by age of the gear"),
        unique="age",
        of=gettext("years since it was bought"),
    )
    every = plain(found.known + found.unknown)
    said = gettext("The year it was bought is known for %(count)s of %(every)s.") % {
        "count": smallness.count(found.known, "damage"),
        "every": every,
    }
    note = gettext(
        "Whole years from then to the year it came in. How much gear of an age is about, nobody knows."
    )
    if not found.known:
        said = gettext("Nothing to draw yet: of no damaged gear is the year known in which it was bought.")
        return replace(of_chart(chart, number, finding=said, note=note), svg=SafeString(""))
    return of_chart(chart, number, finding=said, caution=smallness.few(found.known, "damage"), note=note)


def _repeats(asked: Asked, numbers: Iterator[int]) -> Iterator[Figure]:
    whole, by_part, by_kind = repeats.repeats(asked)
    share = whole.share
    said = gettext("No repair has been handed back yet.")
    if whole.repaired:
        places = gettext("%(count)s of %(count_2)s") % {
            "count": smallness.count(whole.again, "place"),
            "count_2": smallness.count(whole.repaired, "repair"),
        }
        said = gettext("%(places)s came back: %(value)s, %(low)s.") % {
            "places": places,
            "value": percent(share.value),
            "low": between(share.low, share.high),
        }
    if whole.repaired and not whole.again:
        said = gettext("None of %(count)s came back; up to %(high)s is not ruled out.") % {
            "count": smallness.count(whole.repaired, "repair"),
            "high": percent(share.high),
        }
    caution = smallness.words(whole.repaired, whole.again, event="repeat")
    note = gettext(
        "A later visit found damage on the same part within 10 cm. It may be new damage beside a sound patch."
    )
    yield of_chart(
        _shares(by_part, gettext("part"), "repeats-by-part"),
        next(numbers),
        finding=said,
        caution=caution,
        note=note,
    )
    if whole.repaired:
        yield of_chart(
            _shares(by_kind, gettext("damage"), "repeats-by-damage"),
            next(numbers),
            finding=gettext("The same repairs, told apart by the damage they mended."),
            caution=caution,
        )


def _shares(rows: list[repeats.Repeat], by: str, unique: str) -> Chart:
    return dots(
        [share_dot(gettext(row.name), row.again, row.repaired) for row in rows],
        title=gettext("Repaired twice, by %(by)s") % {"by": by},
        unique=unique,
        of=gettext("share repaired twice"),
        say=percent,
        name=by,
        note=gettext("repaired twice"),
    )


def _bursts(asked: Asked, numbers: Iterator[int]) -> Iterator[Figure]:
    loaded = bursts.by_load(asked, cases())
    burst, of = sum(row.bursts for row in loaded), sum(row.damages for row in loaded)
    yield of_chart(
        dots(
            [share_dot(row.name, row.bursts, row.damages) for row in loaded],
            title=gettext("Bursts by the load that sound cloth bears there"),
            unique="bursts-by-load",
            of=gettext("share that were bursts"),
            say=percent,
            name=gettext("load ratio"),
            note=gettext("bursts"),
        ),
        next(numbers),
        finding=gettext("%(count)s among %(count_2)s on tubes.")
        % {"count": smallness.count(burst, "burst"), "count_2": smallness.count(of, "damage")}
        if of
        else gettext("No damage yet on a tube whose pattern is known: only there the load can be reckoned."),
        caution=smallness.words(of, burst, of="damage", event="burst"),
        note=gettext(
            "λ: the share of its strength that whole cloth bears there at full load. If the arithmetic is "
            "right, bursts grow more frequent downwards."
        ),
    )
    yield _later(asked, next(numbers))


def _later(asked: Asked, number: int) -> Figure:
    rows = bursts.later(asked)
    left, burst = sum(row.left for row in rows), sum(row.left_burst for row in rows)
    said = gettext("No damage on a tube was left unrepaired.")
    if left:
        said = gettext("%(count)s on tubes went unrepaired; %(burst)s came back as bursts.") % {
            "count": smallness.count(left, "damage"),
            "burst": burst,
        }
    return of_chart(
        _bands(rows),
        number,
        finding=said,
        caution=smallness.words(left, burst, of="such damage", event="burst"),
        note=gettext(
            "By the band they were given. Who never came back counts as not burst, so there were no fewer."
        ),
    )


def _bands(rows: list[bursts.Later]) -> Chart:
    """The shares of what was left; its table has beside them what was repaired."""
    chart = dots(
        [share_dot(gettext(row.band), row.left_burst, row.left) for row in rows if row.left],
        title=gettext("Left as they were, and burst later"),
        unique="burst-later",
        of=gettext("share that burst there"),
        say=percent,
        name=gettext("band"),
        note=gettext("burst later"),
    )
    head = [
        gettext("band"),
        gettext("left as it was"),
        gettext("burst later"),
        gettext("repaired"),
        gettext("burst there later"),
    ]
    counts = [[row.left, row.left_burst, row.repaired, row.repaired_burst] for row in rows]
    cells = [[gettext(row.band), *map(str, n)] for row, n in zip(rows, counts, strict=True)]
    if not any(row.left for row in rows):
        chart = replace(chart, svg=SafeString(""), narrow=SafeString(""))
    return replace(chart, table=table(head, cells))
