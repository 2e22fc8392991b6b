"""Compile the kernels once, so that the first answer comes quickly: `python -m standtrue.work.warm`."""

from __future__ import annotations

from attrs import evolve

from standtrue.drive.engine import drive
from standtrue.drive.question.answer import End
from standtrue.model.basics import Place, Range
from standtrue.model.ground import Grounds
from standtrue.model.order import Choice, Move, Operation, Problem, Stand
from standtrue.model.procedure import Procedure, Source
from standtrue.model.reason import because
from standtrue.model.site import Datum, Site
from standtrue.model.vehicle import Vehicle
from standtrue.place.engine import any_fit, best_stance, region
from standtrue.place.many.shared import shared_places
from standtrue.sequence.solve import order_job


class _Level:
    """Every move takes as long as any other."""

    def bound(self, start: int, goal: int, driven: bool) -> Range:
        return self.find(start, goal, driven).seconds

    def find(self, start: int, goal: int, driven: bool) -> Move:
        return Move(start, goal, driven, (1.0, 1.0))


def warm() -> None:
    """Answer one small question, so that every kernel is compiled and cached."""
    site = Site("warm", ((0.0, 0.0), (9.0, 0.0), (9.0, 5.0), (0.0, 5.0)), Datum((0.0, 0.0)))
    car = Vehicle("warm", 4.0, 1.8, 2.0, 1.5, 2.6, 0.8, 1.5, 1.5, 0.2, 0.65, 0.15)
    answer = best_stance(Grounds(site), car, [], "floor")
    region(answer, [0.0])
    any_fit(Grounds(site), car, [], "floor")
    card = Procedure("warm", "forward camera", "static", Source("warm"))
    shared_places(Grounds(site), car, [card], ["floor"])
    order_job(
        Problem((Operation("warm", because("own-work", name="warm"), "work", (Choice((1.0, 1.0), Stand(1)),)),), 2),
        _Level(),
    )
    car = evolve(car, turning_circle_m=11.0)
    drive(site, car, End(Place(1.0, 1.5, 0.0)), End(Place(3.0, 3.0, 0.0)))
    drive(site, car, End(Place(1.0, 2.5, 0.0)), End(Place(7.0, 2.5, 3.0)))


if __name__ == "__main__":
    warm()
