"""Which faults: one small change of one place in program reading, geometry or proof.

Changes are such as a slip of the hand makes: a neighbouring comparison, the opposite sign, a number
one off, a condition turned round, a loop left out. Swaps that end in an error at the first call, a
shift of a length by bits say, are not drawn: they would be seen by anything and flatter the score.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import unified_diff
from pathlib import Path
from random import Random

from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator

PACKAGE = Path("src/standclear")
PARTS = ("blocks", "motions", "tools", "sweeps", "proof")
"""Folders of the package that are drawn from: program reading, geometry, proof."""
CHECKER = ("audit",)
"""The same of what checks a certificate."""
SLIPS = (
    "AddNot", "NumberReplacer", "ReplaceAndWithOr", "ReplaceOrWithAnd", "ReplaceTrueWithFalse",
    "ReplaceFalseWithTrue", "ReplaceContinueWithBreak", "ReplaceBreakWithContinue",
    "ZeroIterationForLoop", "ReplaceUnaryOperator_Delete_Not", "ReplaceUnaryOperator_Delete_USub",
    "ReplaceUnaryOperator_Delete_Invert", "ReplaceBinaryOperator_Add_Sub",
    "ReplaceBinaryOperator_Sub_Add", "ReplaceBinaryOperator_Mul_Div",
    "ReplaceBinaryOperator_Div_Mul", "ReplaceBinaryOperator_BitOr_BitAnd",
    "ReplaceBinaryOperator_BitAnd_BitOr", "ReplaceComparisonOperator_Eq_NotEq",
    "ReplaceComparisonOperator_NotEq_Eq", "ReplaceComparisonOperator_Lt_LtE",
    "ReplaceComparisonOperator_LtE_Lt", "ReplaceComparisonOperator_Gt_GtE",
    "ReplaceComparisonOperator_GtE_Gt", "ReplaceComparisonOperator_Lt_Gt",
    "ReplaceComparisonOperator_Gt_Lt", "ReplaceComparisonOperator_LtE_GtE",
    "ReplaceComparisonOperator_GtE_LtE", "ReplaceComparisonOperator_Is_IsNot",
    "ReplaceComparisonOperator_IsNot_Is",
)  # fmt: skip


@dataclass(frozen=True, order=True)
class Mutant:
    """One change of one place. `occurrence` counts the places of a file that a slip fits."""

    path: str
    """Below `PACKAGE`."""
    line: int
    slip: str
    occurrence: int

    @property
    def name(self) -> str:
        """Tells it from every other of the same text."""
        return f"{self.path}:{self.line} {self.slip} {self.occurrence}"


def every_mutant(root: Path, parts: tuple[str, ...]) -> Iterator[Mutant]:
    """All that there are in `parts` below the checkout `root`, file after file."""
    for part in parts:
        for path in sorted((root / PACKAGE / part).rglob("*.py")):
            yield from mutants_of(path.read_text(), path.relative_to(root / PACKAGE).as_posix())


def mutants_of(text: str, path: str) -> Iterator[Mutant]:
    """All of one file."""
    nodes = list(ast_nodes(get_ast(text)))
    for slip in SLIPS:
        operator = get_operator(f"core/{slip}")()
        starts = [at[0] for node in nodes for at in operator.mutation_positions(node)]
        for occurrence, (line, _) in enumerate(starts):
            yield Mutant(path, line, slip, occurrence)


def drawn(root: Path, seed: int, count: int, parts: tuple[str, ...] = PARTS) -> list[Mutant]:
    """`count` different ones in the order drawn, of those that change what the code does: one in an
    annotation, a docstring or the slots of a dataclass does not, and one that is no Python any more
    does nothing. The same seed draws the same of the same text, and fewer are the first of more."""
    all_of_them = sorted(every_mutant(root, parts))
    Random(seed).shuffle(all_of_them)
    found: list[Mutant] = []
    for mutant in all_of_them:
        if len(found) == count:
            break
        text = (root / PACKAGE / mutant.path).read_text()
        if _works_otherwise(text, changed(text, mutant)):
            found.append(mutant)
    return found


def changed(text: str, mutant: Mutant) -> str:
    """The file's text with the change made.

    Raises ValueError where the mutant is none of this text.
    """
    other = mutate_code(text, get_operator(f"core/{mutant.slip}")(), mutant.occurrence)
    if other is None:
        raise ValueError(f"{mutant.name}: there is no such place")
    return str(other)


def difference(text: str, mutant: Mutant) -> str:
    """The lines that differ, old and new."""
    lines = unified_diff(text.splitlines(), changed(text, mutant).splitlines(), lineterm="", n=0)
    return "\n".join(line for line in list(lines)[2:] if not line.startswith("@@"))


def _works_otherwise(one: str, other: str) -> bool:
    try:
        return ast.dump(_as_run(one)) != ast.dump(_as_run(other))
    except SyntaxError:
        return False


def _as_run(text: str) -> ast.Module:
    """What is run of a file that puts off its annotations: without them and without docstrings, and
    without word of how a dataclass keeps its fields."""
    tree = ast.parse(text)
    nothing = ast.Constant(None)
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            node.returns = None
        elif isinstance(node, ast.arg):
            node.annotation = None
        elif isinstance(node, ast.AnnAssign):
            node.annotation = nothing
        elif isinstance(node, ast.ClassDef):
            for made in node.decorator_list:
                if isinstance(made, ast.Call):
                    made.keywords = [each for each in made.keywords if each.arg != "slots"]
        elif isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            node.value = nothing
    return tree
