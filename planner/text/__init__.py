"""Reads a show: YAML with the place of every value, schemas, units, references."""
