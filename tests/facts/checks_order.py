"""What holds of crossings, layers and laying: checked by replaying moves, and by networkx."""

import sys
from itertools import combinations, pairwise
from pathlib import Path

import networkx as nx

from crossfell.draft.model import Cross, Roll, Shift, Turn

MOST_LETTERS = 60  # of a piece whose normal form is written out
sys.path.append(str(Path(__file__).parents[1] / "outside"))
from garside import normal_form  # noqa: E402


def replayed(piece):
    """Rows of unit numbers by place at every band, each move made by itself."""
    draft = piece.draft
    row = [None] * draft.place_count
    for u, unit in enumerate(draft.units):
        row[unit.place - 1] = u
    rows = [list(row)]
    for span in draft.spans:
        for move in span.moves:
            _make(row, move)
        rows.append(list(row))
    return rows


def _make(row, move):
    block = slice(move.first - 1, move.last)
    if isinstance(move, Cross):
        cut = move.middle - move.first
        row[block] = row[block][cut:] + row[block][:cut]
    elif isinstance(move, Roll) and move.half_turns % 2:
        row[block] = row[block][::-1]
    elif isinstance(move, Shift) and move.places:
        moved = row[block]
        row[block] = [None] * len(moved)
        row[move.first - 1 + move.places : move.last + move.places] = moved


def places(piece, index, value, put):
    (u,) = index
    return value == [row.index(u) + 1 for row in replayed(piece)]


def order_at_band(piece, index, value, put):
    names = [None if u is None else piece.draft.units[u].name for u in replayed(piece)[index[0]]]
    return value == names


def _present(row):
    return [u for u in row if u is not None]


def crossed(piece, k):
    """Crossings (over, under) of a span's word, from the row before it; and the row after."""
    row, pairs = _present(replayed(piece)[k]), []
    for letter in piece.order.spans[k].word:
        i = abs(letter) - 1
        left, right = row[i], row[i + 1]
        pairs.append((left, right) if letter > 0 else (right, left))
        row[i], row[i + 1] = right, left
    return pairs, row


def word(piece, index, value, put):
    (k,) = index
    pairs, row = crossed(piece, k)
    names = [unit.name for unit in piece.draft.units]
    told = [f"{names[a]} over {names[b]}" for a, b in pairs]
    return row == _present(replayed(piece)[k + 1]) and told == put["crossings"].value


def half_turns(piece, index, value, put):
    (k,) = index
    row, turned = list(replayed(piece)[k]), {}
    for move in piece.draft.spans[k].moves:
        if isinstance(move, (Turn, Roll)):
            for u in _present(row[move.first - 1 : move.last]):
                turned[u] = turned.get(u, 0) + move.half_turns
        _make(row, move)
    return value == {piece.draft.units[u].name: n for u, n in sorted(turned.items()) if n}


def _standing(pairs):
    """Crossings without those two that plainly undo each other, again and again."""
    left = list(pairs)
    for i, j in combinations(range(len(left)), 2):
        between = {u for pair in left[i + 1 : j] for u in pair}
        if left[i] == left[j] and not set(left[i]) & between:
            return _standing(left[:i] + left[i + 1 : j] + left[j + 1 :])
    return left


def _graph(piece, k, *, net=False):
    pairs = _standing(crossed(piece, k)[0])
    graph = nx.DiGraph()
    graph.add_nodes_from(range(len(piece.draft.units)))
    graph.add_edges_from(p for p in pairs if not net or pairs.count(p) % 2)
    return graph


def layable(piece, index, value, put):
    return value == nx.is_directed_acyclic_graph(_graph(piece, index[0]))


def cycle(piece, index, value, put):
    graph, names = _graph(piece, index[0]), [unit.name for unit in piece.draft.units]
    if value is None:
        return nx.is_directed_acyclic_graph(graph)
    ring = [names.index(name) for name in value]
    shortest = min(map(len, nx.simple_cycles(graph, length_bound=len(ring))))
    return len(ring) == shortest and all(
        graph.has_edge(a, b) for a, b in pairwise([*ring, ring[0]])
    )


def layers(piece, index, value, put):
    names = [unit.name for unit in piece.draft.units]
    if value is None:
        return not nx.is_directed_acyclic_graph(_graph(piece, index[0]))
    layer = {names.index(name): n for n, row in enumerate(value) for name in row}
    graph = _graph(piece, index[0], net=True)
    return len(layer) == len(names) and all(
        n == max((layer[b] + 1 for b in graph.successors(u)), default=0) for u, n in layer.items()
    )


def lifted(piece, index, value, put):
    """Dilworth: a largest antichain and a matching of the closure make up all units."""
    (k,) = index
    if not piece.order.spans[k].layable:
        return value >= len(piece.order.spans[k].passes)
    closure = nx.transitive_closure_dag(_graph(piece, k, net=True))
    split = nx.Graph()
    split.add_nodes_from([("top", u) for u in closure], bipartite=0)
    split.add_edges_from((("top", a), ("under", b)) for a, b in closure.edges)
    tops = [node for node in split if node[0] == "top"]
    return value == len(nx.bipartite.maximum_matching(split, top_nodes=tops)) // 2


def passes(piece, index, value, put):
    graph, pairs = _graph(piece, index[0]), _standing(crossed(piece, index[0])[0])
    if nx.is_directed_acyclic_graph(graph):
        return value == bool(pairs)
    return value >= 2 and (value == 2 or not _in_two(pairs))


def _in_two(pairs):
    """Whether a cut through the word leaves two parts without a ring."""
    return any(
        nx.is_directed_acyclic_graph(nx.DiGraph(pairs[:cut]))
        and nx.is_directed_acyclic_graph(nx.DiGraph(pairs[cut:]))
        for cut in range(1, len(pairs))
    )


def twice(piece, index, value, put):
    graph, names = _graph(piece, index[0]), [unit.name for unit in piece.draft.units]

    def free(units):
        return nx.is_directed_acyclic_graph(graph.subgraph(set(graph) - set(units)))

    fewer = combinations(graph, len(value) - 1) if value else []
    return free([names.index(name) for name in value]) and not any(map(free, fewer))


def undone(piece, index, value, put):
    """Garside's normal form of the whole braid is the same without both crossings."""
    one, two = piece.pairs[index[0]].units
    spans = range(len(piece.draft.spans))
    letters = [(k, n) for k in spans for n in piece.order.spans[k].word]
    pairs = [pair for k in spans for pair in crossed(piece, k)[0]]
    strands = len(piece.draft.units)
    if len(letters) > MOST_LETTERS:
        return True
    whole = normal_form(strands, [n for _, n in letters])
    mine = [i for i, pair in enumerate(pairs) if set(pair) == {one, two}]
    for first, second in value:
        tried = [(i, j) for i, j in combinations(mine, 2)
                 if (letters[i][0] + 1, letters[j][0] + 1) == (first, second)]  # fmt: skip
        if not any(
            normal_form(strands, [n for at, (_, n) in enumerate(letters) if at not in both])
            == whole
            for both in tried
        ):
            return False
    return True
