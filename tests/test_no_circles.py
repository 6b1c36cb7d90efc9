"""No two files of the program import each other, not even inside a function."""

import ast
from pathlib import Path

import networkx as nx

SOURCE = Path(__file__).parents[1] / "src"


def test_files_import_each_other_in_no_circle():
    files = {}
    for path in SOURCE.rglob("*.py"):
        name = ".".join(path.relative_to(SOURCE).with_suffix("").parts)
        files[name.removesuffix(".__init__")] = path
    links = nx.DiGraph()
    for name, path in files.items():
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and node.module:
                whole = [node.module, *(f"{node.module}.{a.name}" for a in node.names)]
                links.add_edges_from((name, other) for other in whole if other in files)
    assert links.number_of_edges() > 500
    circles = [sorted(part) for part in nx.strongly_connected_components(links) if len(part) > 1]
    assert circles == []
