"""The words and the table: what every rule must have, and that none is left out."""

import pytest

from shoprepair.jobs.advice import RULES, Verdict
from shoprepair.jobs.advice.common_words import AIR, HOUSE, SHORE
from shoprepair.jobs.advice.looks import Look, follow_ups, for_place, kind
from shoprepair.jobs.advice.table import TABLE, rows
from shoprepair.jobs.advice.verdicts import by_code
from shoprepair.jobs.questions import element_for, kinds_for
from shoprepair.mechanics.description import Element

ALL = tuple(RULES.values())
MEANT = [(element, look) for element in Element for look in for_place(element)]


def judged_on(element, look):
    """The part that answers, where the pin hit a fitting on a tube."""
    on_strut = element is Element.HANDLE
    return element_for(element, kind(look, element), on_strut=on_strut)


@pytest.mark.parametrize(("element", "look"), MEANT)
def test_each_part_and_look_has_rows_from_mild_to_strict_and_one_that_always_holds(element, look):
    found = rows(judged_on(element, look), look)
    verdicts = [RULES[row.rule].verdict for row in found]
    assert verdicts == sorted(verdicts)
    assert [row.when.__name__ for row in found].index("always") == len(found) - 1


@pytest.mark.parametrize(("element", "look"), MEANT)
def test_whatever_can_be_told_can_be_kept_as_a_damage(element, look):
    assert kind(look, element) in kinds_for(element)
    assert kind(look, element) in kinds_for(judged_on(element, look))


@pytest.mark.parametrize(("element", "look"), MEANT)
def test_at_most_two_questions_follow_a_look(element, look):
    assert len(follow_ups(look, element)) <= 2


def test_every_rule_is_used_and_every_row_says_why():
    assert {row.rule for row in TABLE} == set(RULES)
    assert all(row.why.endswith(".") for row in TABLE)
    assert all(rule.source for rule in ALL)


@pytest.mark.parametrize("rule", ALL, ids=lambda rule: rule.code)
def test_each_rule_says_all_that_its_verdict_needs(rule):
    may_fix = rule.verdict in (Verdict.FIX_YOURSELF, Verdict.GET_HOME)
    assert (rule.fix is not None) == may_fix
    assert bool(rule.checks) == (rule.verdict is not Verdict.BRING_IN)
    assert bool(rule.meanwhile) == (rule.verdict is Verdict.BRING_IN)
    assert rule.later
    assert rule.cautions[-1] is HOUSE
    if may_fix:
        assert rule.fix.steps
        assert rule.fix.use
        assert rule.fix.never


@pytest.mark.parametrize("rule", ALL, ids=lambda rule: rule.code)
def test_whoever_may_go_out_is_told_to_stay_near_the_shore(rule):
    assert (SHORE in rule.cautions) == (rule.verdict is not Verdict.BRING_IN)


def test_whoever_pumps_up_a_damaged_tube_is_told_that_it_can_burst():
    for code in ("cut-far-from-a-shop", "scrape-round", "valve-loose-holds"):
        assert AIR in RULES[code].cautions


@pytest.mark.parametrize("rule", ALL, ids=lambda rule: rule.code)
def test_only_the_two_figures_stand_in_a_reason(rule):
    assert rule.slots <= {"length", "runs_at"}


def test_a_sentence_is_short_enough_for_a_beach():
    for text in texts():
        assert text[0].isupper(), text
        assert text.endswith((".", "?")), text
        for sentence in text.replace("?", ".").split("."):
            assert len(sentence.split()) <= 24, sentence


def test_the_verdicts_go_from_mild_to_strict_and_have_plain_titles():
    assert [verdict.code for verdict in sorted(Verdict)] == ["ride-on", "fix", "get-home", "bring-in"]
    assert str(Verdict.BRING_IN.title) == "Do not inflate it; bring it in"
    assert by_code("fix") is Verdict.FIX_YOURSELF
    with pytest.raises(ValueError, match="no verdict"):
        by_code("fly")


def test_stitching_where_load_is_sewn_on_needs_no_more_questions():
    assert follow_ups(Look.SEAM, Element.HANDLE) == ()
    assert follow_ups(Look.SEAM, Element.CANOPY) == ("length",)


def texts():
    for rule in ALL:
        yield str(rule.reason)
        yield from map(str, (*rule.meanwhile, *rule.later, *rule.checks, *rule.cautions))
        if rule.fix:
            yield from map(str, (*rule.fix.steps, *rule.fix.use, *rule.fix.never))
