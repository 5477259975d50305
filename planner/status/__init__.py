"""Where every element stands by what happened, and what each composite waits for."""
