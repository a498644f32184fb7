"""Which steps new agreed work adds to a job: ways into the tubes, its own steps, and what closes them."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from shoprepair.gear.describe import planform
from shoprepair.jobs.models import Job
from shoprepair.pricing import access
from shoprepair.pricing import rules as price_rules
from shoprepair.pricing.access.plan import half_extent, minutes_of
from shoprepair.pricing.models import PriceRules, Repair
from shoprepair.pricing.tubes import key_of, place_of
from shoprepair.pricing.tubes import tube as tube_line
from shoprepair.work import recipe
from shoprepair.work.models import Step
from shoprepair.work.recipe import SETTLED, Made, Way
from shoprepair.work.taken import Taken

Kind = Step.Kind
_SLACK_M = 1e-6


class Making:
    """New steps of a job, beside those it has."""

    def __init__(self, job: Job, works: Sequence[Taken], there: Sequence[Step]) -> None:
        self._job = job
        self._there = there
        self._rules: PriceRules = price_rules.current()
        self._washed = [f"{work.key}:" for work in works if work.wets]
        self._made: list[Made] = []
        self._ways = [_way(step, self._rules) for step in there if step.kind == Kind.OPEN]
        self._settled = {step.made_from for step in there if step.state in SETTLED}
        self._not_in_reach: dict[int, str] = {}

    def steps(self, new: Sequence[Taken]) -> tuple[list[Made], dict[str, list[str]]]:
        """The steps to add in order, and for steps that are there what else comes before them."""
        served = self._ways_in(new)
        ways = [way for way in self._ways if any(way in each for each in served.values())]
        fresh = [way for way in ways if not self._has(f"{way.key}:open")]
        tubes = self._tubes(new)
        opens = [recipe.opened(way) for way in fresh]
        draws = list(self._draws(tubes, fresh, ways))
        repairs: list[Made] = []
        ends: dict[str, str] = {}
        for work in new:
            steps = recipe.work_steps(
                work,
                [*self._last_wash(repairs, work), *self._entries(work, served, tubes)],
                bladder_drawn=bool(recipe.tube_of(work)),
            )
            if work.repair and work.repair.pk in self._not_in_reach:
                steps[0].caution = f"{self._not_in_reach[work.repair.pk]} {steps[0].caution}".strip()[:300]
            repairs += steps
            ends[work.key] = steps[-1].made_from
        more: dict[str, list[str]] = {}
        refits = list(self._refits(new, tubes, ends, fresh, more))
        closes = list(self._closes(new, served, tubes, ends, ways, more))
        made = [*opens, *draws, *repairs, *refits, *closes]
        return [*made, *self._check(made, more)], more

    def _ways_in(self, new: Sequence[Taken]) -> dict[str, list[Way]]:
        """Through which openings each new work is reached: one that is there, opened again, or a new one."""
        served: dict[str, list[Way]] = {work.key: [] for work in new}
        rest = [work for work in new if work.repair and work.operation and work.operation.needs_opening]
        for work in list(rest):
            if (way := self._there_already(work)) is not None:
                served[work.key].append(way)
                rest.remove(work)
        repairs = [work.repair for work in rest if work.repair]
        for repair in repairs:
            repair.preferred = True  # agreed: whether it was advised does not matter any more
        plan = access.plan(self._job, self._rules, repairs)
        self._not_in_reach = {
            pk: sentence.text for pk, sentence in zip(plan.unreachable_repairs, plan.unreachable, strict=True)
        }
        for opening in plan.openings:
            way = recipe.way_of(opening, max((each.number for each in self._ways), default=0) + 1)
            self._ways.append(way)
            for work in rest:
                if work.repair and work.repair.pk in opening.repairs:
                    served[work.key].append(way)
        return served

    def _there_already(self, work: Taken) -> Way | None:
        fits = [way for way in self._ways if work.repair and _serves(way, work.repair, self._rules)]
        if not fits:
            return None
        way = max(fits, key=lambda each: (not self._is_closed(each), each.time, -each.number))
        if self._is_closed(way):
            way = replace(way, time=way.time + 1, damages=(), bladder_out=False)
            self._ways.append(way)
        if not self._has(f"{way.key}:open"):
            way.damages = tuple(sorted({*way.damages, *work.damages}))
            way.bladder_out = way.bladder_out or bool(recipe.tube_of(work))
        return way

    def _is_closed(self, way: Way) -> bool:
        return f"{way.key}:close" in self._settled

    def _tubes(self, new: Sequence[Taken]) -> dict[str, tuple[str, int]]:
        """Each tube whose bladder is out for the new work: what it is called, and which time it is drawn."""
        tubes: dict[str, tuple[str, int]] = {}
        drawn_up = planform(self._job.inflatable.pattern)
        for key in filter(None, map(recipe.tube_of, new)):
            drawn = [s for s in self._there if s.kind == Kind.DRAW and s.opening["tube"] == key]
            time = max((step.opening["time"] for step in drawn), default=0)
            inside = time and f"{recipe.bladder_key(key, time)}:refit" not in self._settled
            tubes[key] = (tube_line(drawn_up, key).label, time if inside else time + 1)
        return tubes

    def _draws(
        self, tubes: dict[str, tuple[str, int]], fresh: Sequence[Way], ways: Sequence[Way]
    ) -> Iterator[Made]:
        for tube, (label, time) in tubes.items():
            if self._has(f"{recipe.bladder_key(tube, time)}:draw"):
                continue
            here = [way for way in ways if way.tube == tube]
            step = recipe.drawn_out(tube, label, time, [way for way in fresh if way.tube == tube])
            step.after = [f"{way.key}:open" for way in here]
            yield step

    def _entries(
        self, work: Taken, served: dict[str, list[Way]], tubes: dict[str, tuple[str, int]]
    ) -> list[str]:
        entries = [f"{way.key}:open" for way in served[work.key]]
        if tube := recipe.tube_of(work):
            entries.append(f"{recipe.bladder_key(tube, tubes[tube][1])}:draw")
        return entries

    def _last_wash(self, repairs: Sequence[Made], work: Taken) -> list[str]:
        if work.wets:
            return []
        names = [*(step.made_from for step in self._there), *(step.made_from for step in repairs)]
        washes = [[name for name in names if name.startswith(wash)] for wash in self._washed]
        return [each[-1] for each in washes if each]

    def _refits(
        self,
        new: Sequence[Taken],
        tubes: dict[str, tuple[str, int]],
        ends: dict[str, str],
        fresh: Sequence[Way],
        more: dict[str, list[str]],
    ) -> Iterator[Made]:
        for tube, (label, time) in tubes.items():
            key = recipe.bladder_key(tube, time)
            last = [ends[work.key] for work in new if recipe.tube_of(work) == tube]
            if self._has(f"{key}:refit"):
                more[f"{key}:refit"] = last
                continue
            step = recipe.refitted(tube, label, time, [way for way in fresh if way.tube == tube])
            step.after = [f"{key}:draw", *last]
            yield step

    def _closes(
        self,
        new: Sequence[Taken],
        served: dict[str, list[Way]],
        tubes: dict[str, tuple[str, int]],
        ends: dict[str, str],
        ways: Sequence[Way],
        more: dict[str, list[str]],
    ) -> Iterator[Made]:
        for way in ways:
            last = [ends[work.key] for work in new if way in served[work.key]]
            if way.tube in tubes:
                last.append(f"{recipe.bladder_key(way.tube, tubes[way.tube][1])}:refit")
            if self._has(f"{way.key}:close"):
                more[f"{way.key}:close"] = last
                continue
            step = recipe.closed(way)
            step.after = [f"{way.key}:open", *last]
            yield step

    def _check(self, made: Sequence[Made], more: dict[str, list[str]]) -> Iterator[Made]:
        """The last step, after all that nothing else comes after."""
        followed = {name for step in made for name in step.after}
        followed |= {name for names in more.values() for name in names}
        last = [step.made_from for step in made if step.made_from not in followed]
        checks = [step for step in self._there if step.kind == Kind.CHECK]
        if checks and checks[-1].state not in SETTLED:
            more[checks[-1].made_from] = last
            return
        step = recipe.checked(len(checks) + 1)
        step.after = last
        yield step

    def _has(self, name: str) -> bool:
        return any(step.made_from == name for step in self._there)


def _way(step: Step, rules: PriceRules) -> Way:
    stored = step.opening
    return Way(
        number=stored["number"],
        time=stored["time"],
        tube=stored["tube"],
        label=stored["label"],
        start_m=stored["start_m"],
        end_m=stored["end_m"],
        damages=tuple(step.damages),
        minutes=minutes_of(stored["end_m"] - stored["start_m"], rules),
        bladder_out=stored["bladder_out"],
        words=stored["words"],
    )


def _serves(way: Way, repair: Repair, rules: PriceRules) -> bool:
    """Whether a repair is reached whole through an opening."""
    if key_of(repair.damage) != way.tube:
        return False
    drawn = planform(repair.damage.job.inflatable.pattern)
    length_m = tube_line(drawn, way.tube).length_m
    at, half = place_of(repair.damage, drawn), half_extent(repair)
    start, end = max(0.0, at - half), min(length_m, at + half)
    reach = rules.opening_reach_m + _SLACK_M
    return way.start_m - reach <= start and way.end_m + reach >= end
