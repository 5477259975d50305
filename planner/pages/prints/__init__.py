"""Prints: what is handed out on paper, set as tagged PDF from plain values."""
