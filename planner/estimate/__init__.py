"""Runs the kinds over the graph, and gathers scale windows per build."""
