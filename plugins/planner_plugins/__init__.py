"""The element kinds that come with the planner, one package each."""
