"""The show as frozen values: what people wrote, with its standing and its place."""
