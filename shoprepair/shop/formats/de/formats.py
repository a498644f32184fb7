"""Days as German writes them: with a point behind the figure of the day."""

import re


def __getattr__(name: str) -> str:
    """The pattern of a day that a page asks for, such as "j M Y"; any other is as Django has it."""
    changed = re.sub(r"\bj(?= [FMN]|$)", "j.", name)
    if changed == name:
        raise AttributeError(name)
    return changed
