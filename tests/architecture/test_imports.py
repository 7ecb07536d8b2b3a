"""Imports go one way, between files too; and the checks are only checks."""

import ast

import networkx as nx

from calc.checks import CHECKS
from tests.architecture.source import modules


def test_no_file_imports_itself_through_others():
    graph = imports({dotted(module): module for module in modules()})
    assert [sorted(circle) for circle in nx.strongly_connected_components(graph) if len(circle) > 1] == []


def test_every_file_of_checks_holds_a_check():
    registered = {entry.evaluate.__module__ for entry in CHECKS.values()}
    assert {dotted(module) for module in modules("calc/checks")} - registered == {"calc.checks"}


def test_a_circle_of_imports_would_be_seen():
    graph = nx.DiGraph(list(imported("a", ast.parse("if x:\n    from b import c"), {"a", "b", "b.c"}, package="")))
    graph.add_edge("b.c", "a")
    assert [sorted(circle) for circle in nx.strongly_connected_components(graph)] == [["a", "b.c"]]


def dotted(module):
    return module.name.removesuffix(".py").removesuffix("/__init__").replace("/", ".")


def imports(by_name):
    """Return the graph of imports that are made when a file is read, for type checking too; not those in a function."""
    graph = nx.DiGraph()
    for name, module in by_name.items():
        package = name if module.path.name == "__init__.py" else name.rpartition(".")[0]
        graph.add_edges_from(imported(name, module.tree, set(by_name), package=package))
    return graph


def imported(name, tree, known, *, package):
    waiting = list(tree.body)
    while waiting:
        node = waiting.pop()
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            continue
        waiting += list(ast.iter_child_nodes(node))
        for target in targets(node, known, package):
            if target in known and target != name:
                yield name, target


def targets(node, known, package):
    if isinstance(node, ast.Import):
        yield from (alias.name for alias in node.names)
    if isinstance(node, ast.ImportFrom):
        above = package.split(".")[: len(package.split(".")) - node.level + 1] if node.level else []
        base = ".".join([*above, *([node.module] if node.module else [])])
        for alias in node.names:
            yield f"{base}.{alias.name}" if f"{base}.{alias.name}" in known else base
