"""Forms over a view: log, delivery, count, order, check, undo and what is behind a figure."""
