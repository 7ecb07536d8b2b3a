"""One way to run the constraint solver: one worker, a fixed seed, a limit on work and not on seconds."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

SOLVER_SEED = 1


def new_model() -> cp_model.CpModel:
    """Return an empty model; the solver is loaded here, since it costs a second and 80 MB."""
    from ortools.sat.python import cp_model

    return cp_model.CpModel()


class WorkBudget:
    """What the solver may still do for one call, in its deterministic time (about seconds)."""

    def __init__(self, most_work: float) -> None:
        self.left = most_work

    def solve(self, model: cp_model.CpModel, *, share: float = 1) -> Solved:
        """Solve ``model`` with at most this share of what is left; what it does not need stays for the next."""
        solved = Solved(model, most_work=max(self.left, 0) * share)
        self.left -= solved.work
        return solved


class Solved:
    """The outcome of one run: whether there is a solution, whether it is proven, and its values."""

    def __init__(self, model: cp_model.CpModel, *, most_work: float) -> None:
        """Solve ``model`` with at most ``most_work`` of the solver's deterministic time (about seconds)."""
        from ortools.sat.python import cp_model

        self._solver = cp_model.CpSolver()
        self._solver.parameters.num_workers = 1
        self._solver.parameters.random_seed = SOLVER_SEED
        # The bounds of knapsacks and intervals come from the linear relaxation; the most of it pays.
        self._solver.parameters.linearization_level = 2
        self._solver.parameters.max_deterministic_time = most_work
        status = self._solver.solve(model)
        self.work = self._solver.response_proto.deterministic_time
        """What the run took of the solver's deterministic time."""
        self.found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
        self.proven = status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)

    def value(self, expression: Any) -> int:
        """Return the value of a variable or of a linear expression."""
        return int(self._solver.value(expression))
