"""The sample pharmacy's two months of work, read from TOML and done day by day by the verbs."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import partial
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from formulary.bench.events import Way
from formulary.bench.stages import Stage
from formulary.desk import Desk
from formulary.exchange.formula_text import read_formula_file
from formulary.exchange.sample_bench import Bench, Crew, Hours, Slip, Story
from formulary.exchange.sample_house import read_table, sample_people
from formulary.exchange.sample_orders import happenings
from formulary.formula.version import State
from formulary.house import House
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.orders.plausibility import Item, Judged, Opinion
from formulary.people import Person
from formulary.preparation import Preparation
from formulary.quantity.amount import Amount
from formulary.quantity.parsing import parse_amount, parse_number
from formulary.resources import sample_path
from formulary.stock.container import StockContainer, opened
from formulary.stock.lot import SupplyLot
from formulary.stock.moves import Cause, StockMove
from formulary.stock.recall import Outcome
from formulary.stock.shelf import Holding
from formulary.store import Store
from formulary.verbs.change_stock import destroy_stock
from formulary.verbs.compose_one_off import compose_one_off
from formulary.verbs.hand_over_jar import hand_over_jars
from formulary.verbs.keep_intermediate import keep_intermediate
from formulary.verbs.look_up_stock import holdings_of, holdings_of_ingredient
from formulary.verbs.make_order import make_order
from formulary.verbs.move_version import send_to_review
from formulary.verbs.recall_lot import Call, note_call, recall_lot
from formulary.verbs.self_check import open_self_checks, self_check
from formulary.verbs.sign_plausibility import sign_plausibility
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verbs.take_order import Asked, take_order
from formulary.verbs.write_version import write_version

FIRST_DAY = 60
"""Days back to the first of the two months."""

MAKER, CHECKER, RELEASER = "odenholt", "quell", "corrander"
_OPENS, _HANDS_OVER, _COUNTS = time(9), time(16), time(17, 30)
_TIDIES, _ORDERS = time(8), time(14)
_COUNTED = 2
_COUNT = "Count at the month's end"

Table = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Task:
    """Something that happens at an hour."""

    at: datetime
    act: Callable[[], object]


def two_months(store: Store, today: date, folder: Path | None = None) -> None:
    """Let two months of work happen in a freshly built sample pharmacy, up to yesterday."""
    folder = folder or sample_path()
    house = store.every(House)[0]
    crew = _crew(folder, store)
    bench = Bench(store, house, crew, Hours(first_hour(today, house.zone)))
    months = Months(folder, today, ZoneInfo(house.zone), bench)
    for task in sorted(months.tasks(), key=lambda each: each.at):
        bench.hours.at = max(bench.hours.at + timedelta(minutes=1), task.at)
        task.act()


def first_hour(today: date, zone: str) -> datetime:
    """Return when the two months begin, and the house with them."""
    return datetime.combine(today - timedelta(days=FIRST_DAY), _OPENS, ZoneInfo(zone))


def _crew(folder: Path, store: Store) -> Crew:
    by_name = {each.name: each for each in store.every(Person)}
    listed = sample_people(folder)
    return Crew(
        {key: by_name[name] for key, name, _, _ in listed},
        {key: pin for key, _, _, pin in listed},
    )


@dataclass
class Months:
    """The two months as a list of things to do, each at its hour."""

    folder: Path
    today: date
    zone: ZoneInfo
    bench: Bench

    @property
    def crew(self) -> Crew:
        """Who works here."""
        return self.bench.crew

    @property
    def store(self) -> Store:
        """Where it is kept."""
        return self.bench.store

    def tasks(self) -> list[Task]:
        """Return all that happens."""
        table = read_table(self.folder / "preparations.toml")
        found = [self._count()]
        for entry in table["preparation"]:
            found += self._preparation(entry)
        for entry in table["recall"]:
            found.append(Task(self._at(entry["days"], _HANDS_OVER), partial(self._recall, entry)))
        for entry in table["discard"]:
            found.append(Task(self._at(entry["days"], _TIDIES), partial(self._discard, entry)))
        for entry in table["review"]:
            found.append(Task(self._at(entry["days"], _ORDERS), partial(self._review, entry)))
        orders = read_table(self.folder / "orders.toml")
        comes = partial(self._at, hour=_ORDERS)
        found += [Task(*each) for each in happenings(self.bench, orders, comes, story_of({}))]
        return found

    def _at(self, days: int, hour: time = _OPENS) -> datetime:
        return datetime.combine(self.today - timedelta(days=days), hour, self.zone)

    def _preparation(self, entry: Table) -> Iterator[Task]:
        lots: list[str] = []

        def make() -> None:
            lots.append(self._make(entry))

        yield Task(self._at(entry["days"]), make)
        for given in entry.get("given", ()):
            yield Task(self._at(given["days"], _HANDS_OVER), partial(self._give, lots, given))
        if "alone" in entry:
            yield Task(self._at(entry["days"], _COUNTS), partial(self._look_again, entry["by"]))

    def _make(self, entry: Table) -> str:
        """Start and finish one preparation, and keep it as stock where it is one."""
        started = self._one_off(entry) if "one_off" in entry else self._start(entry)
        work = self.bench.do(started.lot, story_of(entry))
        if "stock" in entry and work.state.stage is Stage.RELEASED:
            ingredient = self._ingredient(entry["stock"])
            keep_intermediate(self.bench.desk(MAKER), started.lot, ingredient, entry["place"])
        return started.lot

    def _start(self, entry: Table) -> Preparation:
        desk = self.bench.desk(entry.get("by", MAKER))
        formula = self.store.formulas_named(entry["formula"])[0]
        versions = self.store.versions(formula.id)
        version = next(each for each in versions if each.state is State.IN_USE)
        order = Order(entry["target"], entry.get("excess", ""), patient=entry.get("patient", ""))
        return start_preparation(desk, version.id, order)

    def _one_off(self, entry: Table) -> Preparation:
        """Take a prescription, compose what it asks for, have it found plausible, and start it."""
        desk, releaser = self.bench.desk(MAKER), self.bench.desk(RELEASER)
        order = take_order(
            desk,
            Asked(
                patient=entry["patient"],
                prescriber=entry["prescriber"],
                target=entry["target"],
                directions=entry["directions"],
                treatment_days=entry["treatment_days"],
                prescription=entry["prescription"],
            ),
        )
        compose_one_off(desk, order.id, read_formula_file(self.folder / entry["one_off"]))
        judged = tuple(Judged(item, Opinion.OK) for item in Item)
        self.bench.hours.pass_by()
        sign_plausibility(releaser, order.id, judged, self.crew.pins[RELEASER])
        return make_order(desk, order.id)

    def _look_again(self, who: str) -> None:
        """Look again at what one did alone, but for the last act: that still waits."""
        desk = self.bench.desk(who)
        for waiting in open_self_checks(self.store, desk.person.id)[:-1]:
            self_check(desk, waiting.lot, waiting.event, self.crew.pins[who])

    def _give(self, lots: list[str], given: Table) -> None:
        desk = self.bench.desk(MAKER)
        patient, ward = given.get("patient", ""), given.get("ward", "")
        hand_over_jars(desk, lots[0], given["jars"], patient=patient, ward=ward)

    def _recall(self, entry: Table) -> None:
        desk = self.bench.desk(RELEASER)
        pin = self.crew.pins[RELEASER]
        recall = recall_lot(desk, entry["number"], pin, entry["reason"])
        for contact, outcome in zip(recall.contacts, entry["calls"], strict=False):
            self.bench.hours.pass_by(timedelta(minutes=10))
            call = Call(Outcome(outcome), " ".join(contact.jar_ids))
            note_call(self.bench.desk(MAKER), recall.id, contact.recipient_id, call)

    def _discard(self, entry: Table) -> None:
        """Throw away what is left of an ingredient that was in the house by then."""
        desk = self.bench.desk(MAKER)
        for held in holdings_of_ingredient(self.store, self._ingredient(entry["ingredient"])):
            if held.lot.received_on <= desk.today:
                destroy_stock(desk, held.container.id, entry["reason"])

    def _review(self, entry: Table) -> None:
        """Write the next version of a formula, and send it to whoever signs it into use."""
        desk = self.bench.desk(entry["by"])
        formula = self.store.formulas_named(entry["formula"])[0]
        content = read_formula_file(self.folder / entry["file"])
        version = write_version(desk, content, formula_id=formula.id, reason=entry["reason"])
        self.bench.hours.pass_by()
        send_to_review(desk, version.id)

    def _ingredient(self, name: str) -> str:
        return next(each.id for each in self.store.every(Ingredient) if each.name == name)

    def _count(self) -> Task:
        return Task(self._at(_COUNTED, _COUNTS), self._count_the_shelf)

    def _count_the_shelf(self) -> None:
        """Open what the table says was opened, and count what was left, if so much was."""
        desk = self.bench.desk(MAKER)
        with desk.writing("count_stock", _COUNT) as writing:
            for entry, held in self._told_of():
                day = self.today - timedelta(days=entry["opened"])
                container = held.container
                if container.opened_on is None:
                    writing.put(opened(container, day))
                left = parse_amount(entry["left"]).to(held.on_hand.unit)
                if left < held.on_hand:
                    writing.put(self._counted(desk, container.id, left - held.on_hand))

    def _told_of(self) -> Iterator[tuple[Table, Holding]]:
        """Yield each container whose table says when it was opened, with what is in it.

        All of the shelf is read at once: lot by lot it takes a second longer.
        """
        lots = {each.number: each.id for each in self.store.every(SupplyLot)}
        numbered = sorted(self.store.every(StockContainer), key=lambda each: each.number)
        of_lots: dict[str, list[Holding]] = {}
        for held in holdings_of(self.store, numbered):
            of_lots.setdefault(held.lot.id, []).append(held)
        for lot in read_table(self.folder / "stock.toml")["lot"]:
            here = of_lots[lots[lot["number"]]]
            for entry, held in zip(lot["containers"], here, strict=True):
                if "opened" in entry and "left" in entry:
                    yield entry, held

    def _counted(self, desk: Desk, container_id: str, change: Amount) -> StockMove:
        person, at = desk.person, desk.act().at
        return StockMove(
            new_id(), container_id, change, Cause.COUNTED, at, person.id, person.name, _COUNT
        )


def story_of(entry: Table) -> Story:
    """Return how a preparation of the table went."""
    failing = entry.get("failing")
    return Story(
        maker=entry.get("by", MAKER),
        checker=entry.get("checker", CHECKER),
        releaser=entry.get("releaser", RELEASER),
        slip=_slip(entry["slip"]) if "slip" in entry else None,
        failing=(failing["test"], failing["found"]) if failing else None,
        rejected=entry.get("rejected", ""),
        fate=entry.get("fate", ""),
        reprint=entry.get("reprint", ""),
        alone=entry.get("alone", ""),
        yield_percent=parse_number(entry.get("yield_percent", "98"), "."),
        unreleased=entry.get("unreleased", False),
    )


def _slip(table: Table) -> Slip:
    percent = parse_number(table["percent"], ".")
    return Slip(table["ingredient"], percent, Way(table["way"]), table["reason"])
