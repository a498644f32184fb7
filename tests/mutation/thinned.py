"""Starts mutmut with fewer changes of words: a sentence is changed once, not in three ways.

python -m tests.mutation.thinned run
"""

from collections.abc import Iterable

import libcst
from mutmut.__main__ import cli
from mutmut.mutation import file_mutation, mutators


def once(node: libcst.BaseString) -> Iterable[libcst.BaseString]:
    """The changes of a string; of one with blanks, which people read, only the first."""
    changed = list(mutators.operator_string(node))
    is_sentence = isinstance(node, libcst.SimpleString) and " " in node.value
    return changed[:1] if is_sentence else changed


file_mutation.mutation_operators = [
    (kind, once if change is mutators.operator_string else change)
    for kind, change in mutators.mutation_operators
]

if __name__ == "__main__":
    cli()
