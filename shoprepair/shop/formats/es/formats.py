"""Days as Spanish writes them: a month written out stands between two "de", a short one in small letters."""

import re


def __getattr__(name: str) -> str:
    """The pattern of a day that a page asks for, such as "j F Y"; any other is as Django has it."""
    changed = re.sub(r"\bj F\b", r"j \\d\\e F", name)
    changed = re.sub(r"\bF Y\b", r"F \\d\\e Y", changed)
    changed = re.sub(r"\bM\b", "b", changed)
    if changed == name:
        raise AttributeError(name)
    return changed
