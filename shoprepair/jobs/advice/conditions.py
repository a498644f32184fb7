"""When a row of the advice's table holds. What a mild row asks never turns true as a damage grows worse."""

from shoprepair.jobs.advice import thresholds as at
from shoprepair.jobs.advice.seen import Seen
from shoprepair.mechanics.description import Fold, Softens


def always(_seen: Seen) -> bool:
    return True


def cut_may_be_closed(seen: Seen) -> bool:
    """Short, near the tip, not bent much, safe by air alone, and no shop near: all five."""
    return (
        seen.told.far == "far"
        and seen.place.station >= at.TOWARD_THE_TIP
        and not seen.longer_than(at.FIELD_CUT_M)
        and seen.air_ratio < 1
        and seen.bending_nm < at.FIELD_BENDING_NM
    )


def not_near_the_tip(seen: Seen) -> bool:
    return seen.place.station < at.TOWARD_THE_TIP


def not_measured(seen: Seen) -> bool:
    return seen.told.length in ("unsure", "")


def too_long_for_a_beach(seen: Seen) -> bool:
    return seen.longer_than(at.FIELD_CUT_M)


def would_run(seen: Seen) -> bool:
    return seen.air_ratio >= 1


def bends(seen: Seen) -> bool:
    return seen.bending_nm >= at.FIELD_BENDING_NM


def round_and_not_pulled_hard(seen: Seen) -> bool:
    return seen.finding.fold is Fold.ROUND and seen.air_ratio < at.SOUND_SHARE


def folds_round(seen: Seen) -> bool:
    return seen.finding.fold is Fold.ROUND


def folds_to_an_edge(seen: Seen) -> bool:
    return seen.finding.fold is Fold.EDGE


def holds_a_day(seen: Seen) -> bool:
    return seen.finding.softens is Softens.DAY


def known_to_soften_fast(seen: Seen) -> bool:
    return seen.finding.softens is not Softens.UNKNOWN


def up_to_a_palm_and_tape_holds(seen: Seen) -> bool:
    """A short tear leaves the load to the cloth around it, so tape holds there everywhere."""
    return not seen.longer_than(at.TAPE_TEAR_M) and _short_or_taped(seen)


def up_to_a_hand_and_tape_holds(seen: Seen) -> bool:
    return not seen.longer_than(at.GET_HOME_TEAR_M) and _short_or_taped(seen)


def short_crack(seen: Seen) -> bool:
    return not seen.longer_than(at.CRACK_M)


def up_to_a_palm(seen: Seen) -> bool:
    return not seen.longer_than(at.TAPE_TEAR_M)


def up_to_a_hand(seen: Seen) -> bool:
    return not seen.longer_than(at.GET_HOME_TEAR_M)


def _short_or_taped(seen: Seen) -> bool:
    return not seen.longer_than(at.SHORT_TEAR_M) or not seen.tape_creeps
