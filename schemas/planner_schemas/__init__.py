"""JSON Schemas (2020-12) of a show's files; those of element kinds come with their plugins."""
