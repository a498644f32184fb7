"""The safe direction: a worse damage is never answered more mildly, and not knowing never helps.

Each test makes one thing worse and leaves the rest, on every everyday pattern, everywhere, for every look.
"""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.gear import named_places
from shoprepair.gear.everyday import EVERYDAY, SIZES
from shoprepair.jobs.advice.looks import for_place
from shoprepair.mechanics.description import Element, Pattern
from tests.jobs.advice.telling import FOLDS, LENGTHS, PARTS, SOFTENS, place, verdict

CODES = tuple(f"{kind}-{size}" for kind in ("wing", "kite") for size in SIZES)
DAMAGES = [(part, look) for part in PARTS for look in for_place(part)]

codes = st.sampled_from(CODES)
damages = st.sampled_from(DAMAGES)
# The bounds of the rules are where the direction could turn.
stations = st.floats(0, 1) | st.sampled_from([0.0, 0.33, 0.659999, 0.66, 0.660001, 0.67, 0.87, 0.995, 1.0])
millimetres = st.integers(1, 400) | st.sampled_from([10, 11, 25, 26, 90, 91, 190, 191])
factors = st.floats(1.0, 2.5)
fars = st.sampled_from(["far", "home", "unsure"])
folds = st.sampled_from([*FOLDS, "untried"])
softens = st.sampled_from([*SOFTENS, "unsure"])
lengths = millimetres.map(str) | st.sampled_from([*LENGTHS, "unsure"])


@st.composite
def tellings(draw):
    """What might be told besides what a test varies."""
    return {"length": draw(lengths), "fold": draw(folds), "softens": draw(softens), "far": draw(fars)}


def pumped(pattern: Pattern, factor: float) -> Pattern:
    return replace(pattern, rated_pressure_pa=pattern.rated_pressure_pa * factor)


def fattened(pattern: Pattern, at_root: float, at_tip: float) -> Pattern:
    """With every tube so many times as wide, but never wider at its tip than at its root."""

    def fat(tube):
        root = tube.diameter_root_m * max(at_root, at_tip)
        tip = min(tube.diameter_tip_m * at_tip, root)
        return replace(tube, diameter_root_m=root, diameter_tip_m=max(tip, tube.diameter_tip_m))

    struts = tuple(replace(strut, tube=fat(strut.tube)) for strut in pattern.struts)
    return replace(pattern, leading_edge=fat(pattern.leading_edge), struts=struts)


@given(codes, damages, stations, tellings(), millimetres, millimetres)
def test_a_longer_damage_is_never_answered_more_mildly(gear, code, damage, station, rest, one, other):
    part, look = damage
    pattern = gear[code].pattern
    said = {name: value for name, value in rest.items() if name != "length"}
    short, long = (
        verdict(pattern, part, look, station, length=str(mm), **said) for mm in sorted((one, other))
    )
    assert long >= short


@given(codes, damages, tellings(), stations, stations)
def test_nearer_to_the_centre_is_never_answered_more_mildly(gear, code, damage, rest, one, other):
    part, look = damage
    outer, inner = (
        verdict(gear[code].pattern, part, look, u, **rest) for u in sorted((one, other), reverse=True)
    )
    assert inner >= outer


@given(codes, damages, stations, tellings())
def test_a_sharper_fold_or_a_faster_leak_is_never_answered_more_mildly(gear, code, damage, station, rest):
    part, look = damage
    for name, worsening in (("fold", FOLDS), ("softens", SOFTENS), ("length", LENGTHS)):
        verdicts = [verdict(gear[code].pattern, part, look, station, **rest | {name: w}) for w in worsening]
        assert verdicts == sorted(verdicts), name


@given(codes, damages, stations, tellings(), factors)
def test_more_pressure_is_never_answered_more_mildly(gear, code, damage, station, rest, factor):
    part, look = damage
    usual = verdict(gear[code].pattern, part, look, station, **rest)
    harder = verdict(pumped(gear[code].pattern, factor), part, look, station, **rest)
    assert harder >= usual


@given(codes, damages, stations, tellings(), factors, factors)
def test_a_fatter_tube_is_never_answered_more_mildly(gear, code, damage, station, rest, at_root, at_tip):
    part, look = damage
    usual = verdict(gear[code].pattern, part, look, station, **rest)
    fatter = verdict(fattened(gear[code].pattern, at_root, at_tip), part, look, station, **rest)
    assert fatter >= usual


@given(codes, damages, stations, tellings())
def test_not_knowing_is_never_answered_more_mildly_than_any_answer(gear, code, damage, station, rest):
    part, look = damage
    unknown = {"length": "unsure", "fold": "untried", "softens": "unsure", "far": "unsure"}
    known = {"length": LENGTHS, "fold": FOLDS, "softens": SOFTENS, "far": ("home", "far")}
    for name, answers in known.items():
        unsure = verdict(gear[code].pattern, part, look, station, **rest | {name: unknown[name]})
        for answer in answers:
            sure = verdict(gear[code].pattern, part, look, station, **rest | {name: answer})
            assert unsure >= sure, (name, answer)


@given(st.sampled_from(["wing", "kite"]), damages, stations, tellings())
def test_a_larger_size_is_never_answered_more_mildly_so_that_being_unsure_is_the_largest(
    gear, kind, damage, station, rest
):
    part, look = damage
    verdicts = [verdict(gear[f"{kind}-{size}"].pattern, part, look, station, **rest) for size in SIZES]
    assert verdicts == sorted(verdicts)


@pytest.mark.parametrize("code", CODES)
@pytest.mark.parametrize("part", [Element.LEADING_EDGE, Element.CANOPY])
def test_naming_a_place_is_never_answered_more_mildly_than_tapping_in_its_zone(gear, code, part):
    pattern = gear[code].pattern
    for zone in named_places.named(gear[code].planform):
        if zone.place.element is not part:
            continue
        for look in for_place(part):
            for length in ("nail", "25", "90", "190"):
                by_name = verdict(pattern, part, look, zone.place.station, length=length)
                for station in (n / 25 for n in range(26)):
                    if named_places.code_of(place(part, station)) == zone.code:
                        assert by_name >= verdict(pattern, part, look, station, length=length)


@pytest.mark.parametrize("part", [Element.LEADING_EDGE, Element.CANOPY, Element.TRAILING_EDGE])
def test_no_pattern_of_the_library_is_answered_more_strictly_than_the_everyday_one(gear, shelf, part):
    """Else somebody who does not know the model would be told too little."""
    for name, real in shelf.items():
        own, worst = real.pattern, gear[stand_in(real.pattern)].pattern
        for look in for_place(part):
            for length in ("10", "25", "90", "190"):
                for station in (0.0, 0.25, 0.5, 0.7, 0.85, 1.0):
                    strict = verdict(worst, part, look, station, length=length)
                    assert strict >= verdict(own, part, look, station, length=length), (name, look, station)


def stand_in(pattern: Pattern) -> str:
    """Code of the everyday pattern that stands for gear of this kind and size."""
    return next(
        each.code
        for each in EVERYDAY
        if each.kind is pattern.kind and each.area_low_m2 <= pattern.area_m2 <= each.area_high_m2
    )
