"""The trade's arithmetic as pure functions and small tables; knows nothing of shows or files."""
