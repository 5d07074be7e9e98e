"""What OR-Tools CP-SAT makes of the same instances: sticks, and boards without turning (not held to through cuts)."""

from __future__ import annotations

from ortools.sat.python import cp_model


def peer_sticks(sizes: list[int], room: int, seconds: float) -> tuple[int | None, bool]:
    """Sticks for whole sizes, None where none is found in time, and whether they are proved the least."""
    sizes, most = sorted(sizes, reverse=True), _first_fit(sizes, room)
    model = cp_model.CpModel()
    used = [model.new_bool_var("") for _ in range(most)]
    put = [[model.new_bool_var("") for _ in range(most)] for _ in sizes]
    for row in put:
        model.add_exactly_one(row)
    for stick in range(most):
        model.add(sum(size * row[stick] for size, row in zip(sizes, put, strict=True)) <= room * used[stick])
    for one, other in zip(used, used[1:], strict=False):
        model.add(one >= other)
    model.minimize(sum(used))
    return _solved(model, seconds)


def peer_boards(sides: list[tuple[int, int]], length: int, width: int, most: int, seconds: float):
    """Boards for rectangles that may not be turned, at most `most`, laid any way that does not overlap."""
    model = cp_model.CpModel()
    last = model.new_int_var(1, most, "")
    along, over = [], []
    for w, h in sides:
        board, x = model.new_int_var(0, most - 1, ""), model.new_int_var(0, length - w, "")
        start = model.new_int_var(0, most * length, "")
        model.add(start == board * length + x)
        model.add(board < last)
        along.append(model.new_fixed_size_interval_var(start, w, ""))
        over.append(model.new_fixed_size_interval_var(model.new_int_var(0, width - h, ""), h, ""))
    model.add_no_overlap_2d(along, over)
    model.minimize(last)
    return _solved(model, seconds)


def _solved(model, seconds):
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 2
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None, False
    return round(solver.objective_value), status == cp_model.OPTIMAL


def _first_fit(sizes: list[int], room: int) -> int:
    left: list[int] = []
    for size in sorted(sizes, reverse=True):
        at = next((at for at, rest in enumerate(left) if rest >= size), None)
        if at is None:
            left.append(room - size)
        else:
            left[at] -= size
    return len(left)
