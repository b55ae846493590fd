"""Shortest paths for wires on random layouts, by networkx.

A wire on a board is as long as |dx| + |dy|; a joint joins a point of one board to a point of another by a lead of some length. The two
ends lie on different boards; `none` where no joints connect them. Lengths are whole millimetres.

Columns: layout; boards as LENGTHxWIDTH; joints as BOARD@XxY-BOARD@XxY+LEAD; ways as BOARD@XxY-BOARD@XxY=LENGTH; blanks between several.
"""

import random
from importlib.metadata import version
from pathlib import Path

import networkx
import table


def layout(rng: random.Random):
    boards = [(rng.randrange(300, 2001, 10), rng.randrange(200, 901, 10)) for _ in range(rng.randint(2, 9))]

    def spot(board: int):
        return board, rng.randint(0, boards[board][0]), rng.randint(0, boards[board][1])

    joints = []
    for board in range(1, len(boards)):
        # Most boards join one before them; a few stand alone.
        if rng.random() < 0.93:
            joints.append((spot(rng.randrange(board)), spot(board), rng.choice([0, 0, rng.randrange(100, 2001, 50)])))
    for _ in range(rng.randint(0, len(boards))):
        one, other = rng.sample(range(len(boards)), 2)
        joints.append((spot(one), spot(other), rng.choice([0, rng.randrange(100, 2001, 50)])))
    pairs = [tuple(map(spot, rng.sample(range(len(boards)), 2))) for _ in range(3)]
    return boards, joints, pairs


def shortest(joints, start, end):
    """Every end of a joint is a node of its own, however many share a point."""
    graph = networkx.Graph()
    nodes = [("start", start), ("end", end)]
    for number, (one, other, lead) in enumerate(joints):
        nodes += [((number, 0), one), ((number, 1), other)]
        graph.add_edge((number, 0), (number, 1), weight=lead)
    graph.add_nodes_from(name for name, _ in nodes)
    for place, (name, (board, x, y)) in enumerate(nodes):
        for other, (board_other, x_other, y_other) in nodes[:place]:
            apart = abs(x - x_other) + abs(y - y_other)
            if board == board_other and apart < graph.get_edge_data(name, other, {"weight": float("inf")})["weight"]:
                graph.add_edge(name, other, weight=apart)
    try:
        return networkx.shortest_path_length(graph, "start", "end", weight="weight")
    except networkx.NetworkXNoPath:
        return "none"


def text(spot) -> str:
    return f"{spot[0]}@{spot[1]}x{spot[2]}"


def write(folder: Path) -> None:
    rng = random.Random(200)
    rows = []
    for number in range(200):
        boards, joints, pairs = layout(rng)
        sizes = " ".join(f"{length}x{width}" for length, width in boards)
        laid = " ".join(f"{text(one)}-{text(other)}+{lead}" for one, other, lead in joints)
        ways = " ".join(f"{text(start)}-{text(end)}={shortest(joints, start, end)}" for start, end in pairs)
        rows.append((number, sizes, laid, ways))
    table.write(folder / "paths.csv", f"shortest paths by networkx {version('networkx')}", "layout,boards,joints,ways", rows)
