"""The rules of the trade that the self-check answers by, as data, each with its reason and source.

The words are for somebody of twelve on a beach: short, every word of the trade explained where it stands.
`{length}` and `{runs_at}` are filled with the length told and the length from which a cut rips on by itself.
"""

from shoprepair.jobs.advice.rule import Fix, Rule, Step
from shoprepair.jobs.advice.rules_air import RULES_OF_AIR
from shoprepair.jobs.advice.rules_cloth import RULES_OF_CLOTH
from shoprepair.jobs.advice.rules_cuts import RULES_OF_CUTS
from shoprepair.jobs.advice.rules_edges import RULES_OF_EDGES
from shoprepair.jobs.advice.rules_tubes import RULES_OF_TUBES

RULES: dict[str, Rule] = {
    rule.code: rule
    for rule in (*RULES_OF_CUTS, *RULES_OF_TUBES, *RULES_OF_AIR, *RULES_OF_CLOTH, *RULES_OF_EDGES)
}

__all__ = ["RULES", "Fix", "Rule", "Step"]
