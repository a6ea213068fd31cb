"""From cells to nodes and stretches."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from typing import Any, TypeAlias

import networkx as nx
import numpy as np

from funnelfinder.grid import Grid, frozen
from funnelfinder.kernels import FloatArray

#: Kind ("bed", "food", "junction", "pinch") and number.
Node: TypeAlias = tuple[str, int]


def contracted(
    cells: nx.Graph[Any],
    grid: Grid,
    *,
    pinch_cells: dict[int, int],
    passage_per_m: FloatArray | None,
) -> nx.Graph[Node]:
    """Return the graph of cells with its chains made into stretches.

    Parameters
    ----------
    cells : networkx.Graph
        Cells (flat indices) and patches; edges with ``length_m`` and ``cost_m``.
    grid : Grid
        Where the cells lie.
    pinch_cells : dict
        Number of the pinch point at a cell.
    passage_per_m : (rows, cols) float64, optional
        Net trips that cross a place [share per metre of front].
    """
    work = _Contraction(cells, grid, passage_per_m)
    work.name_nodes(pinch_cells)
    chains = sorted(work.chains(), key=lambda chain: work.total(chain, "cost_m"))
    for chain in chains:
        work.add_stretch(chain)
    return work.graph


class _Contraction:
    """Chains of cells becoming stretches."""

    def __init__(self, cells: nx.Graph[Any], grid: Grid, passage_per_m: FloatArray | None) -> None:
        self.cells = cells
        self.grid = grid
        self.passage_per_m = passage_per_m
        self.graph: nx.Graph[Node] = nx.Graph()
        self.names: dict[int | Node, Node] = {}
        self.numbers = itertools.count()

    def name_nodes(self, pinch_cells: dict[int, int]) -> None:
        """Name patches, pinch points, and cells where tracks part."""
        self.names = {node: node for node in self.cells if isinstance(node, tuple)}
        self.names |= {cell: ("pinch", number) for cell, number in pinch_cells.items()}
        for cell in self.cells:
            if cell not in self.names and self.cells.degree[cell] != 2:
                self.names[cell] = ("junction", next(self.numbers))
        for cell, node in self.names.items():
            self._add_node(cell, node)

    def _add_node(self, cell: int | Node, node: Node) -> None:
        """Add a node, with its place where it is a cell."""
        self.graph.add_node(node, name="")
        if isinstance(cell, int):
            x_m, y_m = self._points_m([cell])[0]
            self.graph.nodes[node].update(x_m=float(x_m), y_m=float(y_m))

    def chains(self) -> Iterator[list[int | Node]]:
        """Give each run of cells between two nodes, once."""
        seen: set[tuple[int | Node, int | Node]] = set()
        for node in self.names:
            for second in self.cells[node]:
                if (node, second) in seen:
                    continue
                chain = [node, second]
                while chain[-1] not in self.names:
                    ahead = [other for other in self.cells[chain[-1]] if other != chain[-2]]
                    chain.append(ahead[0])
                seen |= {(chain[0], chain[1]), (chain[-1], chain[-2])}
                yield chain

    def total(self, chain: Sequence[int | Node], name: str) -> float:
        """Return the sum of a measure along a chain."""
        return float(sum(self.cells.edges[step][name] for step in itertools.pairwise(chain)))

    def add_stretch(self, chain: list[int | Node]) -> None:
        """Add a chain; a second one between the same nodes gets a node in its middle."""
        start, end = self.names[chain[0]], self.names[chain[-1]]
        if start == end:
            return
        if self.graph.has_edge(start, end):
            self._add_in_two(chain)
            return
        if end < start:
            start, end, chain = end, start, chain[::-1]
        length_m = self.total(chain, "length_m")
        on_grid = [cell for cell in chain if isinstance(cell, int)]
        passage = math.nan
        if self.passage_per_m is not None:
            passage = float(self.passage_per_m.ravel()[on_grid].mean())
        self.graph.add_edge(
            start,
            end,
            length_m=length_m,
            cost_m=self.total(chain, "cost_m"),
            points_m=frozen(self._points_m(on_grid)),
            passage_per_m=passage,
        )
        if length_m > 0:  # a threshold is no stretch and lets any number of routes through
            self.graph.edges[start, end]["capacity"] = 1

    def _add_in_two(self, chain: list[int | Node]) -> None:
        """Add a chain as two stretches with a node between them."""
        inner = [place for place in range(1, len(chain) - 1) if isinstance(chain[place], int)]
        if not inner:
            return
        middle = inner[len(inner) // 2]
        self.names[chain[middle]] = node = ("junction", next(self.numbers))
        self._add_node(chain[middle], node)
        self.add_stretch(chain[: middle + 1])
        self.add_stretch(chain[middle:])

    def _points_m(self, cells: Sequence[int | Node]) -> FloatArray:
        """Return the centres of cells, (n, 2) [m]."""
        rows, cols = np.divmod(np.array(cells, dtype=np.int64), self.grid.n_cols)
        return self.grid.points_m(rows, cols)
