"""May I fix this myself? From a damage as its owner tells it to one of four verdicts, and the rule for it."""

from shoprepair.jobs.advice.advising import Advice, advise, advise_told
from shoprepair.jobs.advice.looks import Look
from shoprepair.jobs.advice.rules import RULES, Fix, Rule, Step
from shoprepair.jobs.advice.told import Told, from_query, read
from shoprepair.jobs.advice.verdicts import Verdict

__all__ = [
    "RULES",
    "Advice",
    "Fix",
    "Look",
    "Rule",
    "Step",
    "Told",
    "Verdict",
    "advise",
    "advise_told",
    "from_query",
    "read",
]
