"""How the house is kept: short files, short functions, nothing unexplained, no drawers."""

import ast
from collections.abc import Iterator

from tests.house.conftest import Module

LONGEST_FILE = 300
LONGEST_FUNCTION = 45
DRAWERS = {"util", "utils", "helper", "helpers", "misc", "common", "tools"}

Named = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


def functions(tree: ast.AST) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    """Yield every function and method, however deep."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def public(body: list[ast.stmt], above: str = "") -> Iterator[tuple[str, Named]]:
    """Yield every public function and class of a module, and the public methods of classes."""
    for node in body:
        if isinstance(node, Named) and not node.name.startswith("_"):
            yield above + node.name, node
            if isinstance(node, ast.ClassDef):
                yield from public(node.body, f"{node.name}.")


def test_files_stay_short(modules: list[Module]) -> None:
    long = {module.name: len(module.lines) for module in modules}
    assert {name: lines for name, lines in long.items() if lines > LONGEST_FILE} == {}


def lines_of(module: Module, node: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Return how long a function is; of a command only its body, as its signature is its manual."""
    first = node.body[0].lineno if module.room == "cli" else node.lineno
    return (node.end_lineno or first) - first + 1


def test_functions_stay_short(modules: list[Module]) -> None:
    long = {
        f"{module.name}:{node.name}": lines_of(module, node)
        for module in modules
        for node in functions(module.tree)
    }
    assert {name: lines for name, lines in long.items() if lines > LONGEST_FUNCTION} == {}


def test_every_module_says_what_it_is_for(modules: list[Module]) -> None:
    assert [module.name for module in modules if not ast.get_docstring(module.tree)] == []


def test_every_public_name_has_a_docstring(modules: list[Module]) -> None:
    bare = [
        f"{module.name}:{name}"
        for module in modules
        for name, node in public(module.tree.body)
        if not ast.get_docstring(node)
    ]
    assert bare == []


def test_an_init_holds_a_docstring_and_nothing_else(modules: list[Module]) -> None:
    for module in modules:
        if module.name.endswith("__init__.py"):
            assert len(module.tree.body) == 1, f"{module.name} holds more than its docstring"


def test_nothing_is_re_exported(modules: list[Module]) -> None:
    for module in modules:
        stored = {
            node.id
            for node in ast.walk(module.tree)
            if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store)
        }
        assert "__all__" not in stored, f"{module.name} lists names for others to take from it"


def test_no_drawer_for_odds_and_ends(modules: list[Module]) -> None:
    for module in modules:
        assert not DRAWERS & set(module.name.removesuffix(".py").split("/")), module.name
