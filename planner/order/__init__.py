"""Turns estimates into a scheduling instance, and its answer into a dated stage order."""
