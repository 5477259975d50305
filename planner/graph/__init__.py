"""The element graph: order, ancestors, shared pieces, reach of a change."""

from planner.graph.element_graph import ElementGraph, build_graph, build_graph_again

__all__ = ["ElementGraph", "build_graph", "build_graph_again"]
