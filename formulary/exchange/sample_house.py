"""The invented pharmacy that Misce is tried out with, read from its folder of TOML files."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from formulary.bench.balance_checks import CheckWeight
from formulary.exchange import sample_stock
from formulary.exchange.formula_text import read_formula_file
from formulary.exchange.sample_wording import approved_books
from formulary.formula.version import State, Version
from formulary.house import Balance, House, Measure, Pack, Printer
from formulary.ids import new_id
from formulary.ingredient import Ingredient, Matter
from formulary.monograph import Handling, Monograph, parse_listings
from formulary.people import Person, Post
from formulary.pins import quick_hash_of
from formulary.quantity.amount import Amount
from formulary.quantity.density import Density, parse_density
from formulary.quantity.parsing import parse_amount, parse_number
from formulary.resources import sample_path
from formulary.stock.lot import Source
from formulary.verbs.build_house import HouseBook
from formulary.wording.book import WordingBook

OPENS_AT = time(9)
"""The hour given to dated acts of the invented past."""


def sample_house(
    folder: Path | None = None, today: date | None = None, *, untouched: bool = False
) -> HouseBook:
    """Return the sample pharmacy, ready to be built; without a day its shelves are empty.

    Where it is ``untouched``, nothing was opened, used or recalled yet: work is to come.
    """
    folder = folder or sample_path()
    table = read_table(folder / "house.toml")
    people = {each["id"]: _person(each) for each in table["person"]}
    house = _house(table, today)
    book = HouseBook(
        house=house,
        people=tuple(people.values()),
        ingredients=tuple(map(_ingredient, read_table(folder / "ingredients.toml")["ingredient"])),
        versions=_versions(folder, people, ZoneInfo(house.zone)),
        wordings=_wordings(tuple(people.values()), table, ZoneInfo(house.zone)),
    )
    return book if today is None else _stocked(folder, book, today, untouched=untouched)


def _wordings(
    people: tuple[Person, ...], table: Mapping[str, Any], zone: ZoneInfo
) -> tuple[WordingBook, ...]:
    pharmacist = next(each for each in people if each.post is Post.PHARMACIST)
    day = date.fromisoformat(table["wordings_approved_on"])
    return approved_books(pharmacist, datetime.combine(day, OPENS_AT, zone))


def _stocked(folder: Path, book: HouseBook, today: date, *, untouched: bool) -> HouseBook:
    table = read_table(folder / "stock.toml")
    certificate = (folder / "certificate.pdf").read_bytes()
    pharmacist = next(each for each in book.people if each.post is Post.PHARMACIST)
    technician = next(each for each in book.people if each.post is Post.TECHNICIAN)
    zone = ZoneInfo(book.house.zone)
    setting = sample_stock.Setting(
        pharmacist, technician, book.ingredients, today, zone, certificate, untouched
    )
    return replace(
        book,
        shipments=sample_stock.shipments(table, setting),
        levels=sample_stock.levels(table, setting),
        goods=sample_stock.goods(table, setting),
        files=(certificate,),
    )


def sample_pins(folder: Path | None = None) -> tuple[tuple[str, Post, str], ...]:
    """Return name, post and PIN of each of the sample's people, whom everybody may act as."""
    return tuple((name, post, pin) for _, name, post, pin in sample_people(folder))


def sample_people(folder: Path | None = None) -> tuple[tuple[str, str, Post, str], ...]:
    """Return short name, name, post and PIN of each of the sample's people."""
    table = read_table((folder or sample_path()) / "house.toml")
    return tuple(
        (each["id"], each["name"], Post(each["post"]), each["pin"]) for each in table["person"]
    )


def read_table(path: Path) -> dict[str, Any]:
    """Return what a file of the sample says."""
    return tomllib.loads(path.read_text(encoding="utf-8"))


def _person(table: Mapping[str, Any]) -> Person:
    return Person(new_id(), table["name"], Post(table["post"]), quick_hash_of(table["pin"]))


def _house(table: Mapping[str, Any], today: date | None) -> House:
    return House(
        id=new_id(),
        name=table["name"],
        address=tuple(table["address"]),
        telephone=table["telephone"],
        decimal_sign=table["decimal_sign"],
        zone=table["zone"],
        language=table["language"],
        label_language=table["label_language"],
        lot_prefix=table["lot_prefix"],
        sample=table["sample"],
        balances=tuple(_balance(each, today) for each in table["balance"]),
        measures=tuple(Measure(each["name"], *_range(each)) for each in table["measure"]),
        packs=tuple(map(_pack, table["pack"])),
        printers=tuple(Printer(**each) for each in table["printer"]),
        clearance=tuple(table["clearance"]),
        suppliers=tuple(table["suppliers"]),
        small_batch_rule=table["small_batch_rule"],
        small_batch_outside=table["small_batch_outside"],
    )


def _balance(table: Mapping[str, Any], today: date | None) -> Balance:
    due = None if today is None else today + timedelta(days=table["calibrated_for"])
    weights = (
        CheckWeight(each["number"], parse_amount(each["nominal"])) for each in table["weights"]
    )
    allowed = parse_amount(table["allowed"])
    return Balance(table["name"], *_range(table), table["serial"], due, allowed, tuple(weights))


def _range(table: Mapping[str, Any]) -> tuple[Amount, Amount, Amount]:
    return (
        parse_amount(table["capacity"]),
        parse_amount(table["readability"]),
        parse_amount(table["minimum"]),
    )


def _pack(table: Mapping[str, Any]) -> Pack:
    brimful = table.get("brimful")
    return Pack(
        table["name"],
        parse_amount(table["content"]),
        parse_amount(brimful) if brimful else None,
        table.get("protects_from_light", False),
    )


def _ingredient(table: Mapping[str, Any]) -> Ingredient:
    drop, potency = table.get("drop"), table.get("potency")
    return Ingredient(
        id=new_id(),
        name=table["name"],
        latin=table.get("latin", ""),
        synonyms=tuple(table.get("synonyms", ())),
        matter=Matter(table.get("matter", "powder")),
        density=_density(table),
        drop=parse_amount(drop) if drop else None,
        potency=parse_number(potency, ".") if potency else None,
        warnings=tuple(table.get("warnings", ())),
        note=table.get("note", ""),
        high_alert=table.get("high_alert", False),
        double_check=table.get("double_check", False),
        controlled=table.get("controlled", False),
        source=Source(table.get("source", "substance")),
        strength=sample_stock.strength_of(table),
        hazards=tuple(table.get("hazards", ())),
        allergens=tuple(table.get("allergens", ())),
        look_alikes=tuple(table.get("look_alikes", ())),
        handling=_handling(table),
        monograph=_monograph(table),
    )


def _handling(table: Mapping[str, Any]) -> Handling:
    listings = parse_listings("\n".join(table.get("listings", ())))
    return Handling(listings, table.get("precautions", ""), table.get("handling_reviewed"))


def _monograph(table: Mapping[str, Any]) -> Monograph:
    return Monograph(
        **{name: table[name] for name in ("cas", "formula", "solubility") if name in table}
    )


def _density(table: Mapping[str, Any]) -> Density | None:
    if "density" not in table:
        return None
    return parse_density(table["density"], ".", table["density_source"])


def _versions(folder: Path, people: Mapping[str, Person], zone: ZoneInfo) -> tuple[Version, ...]:
    states = read_table(folder / "states.toml")
    versions = [_version(folder, each, states["state"], people, zone) for each in states["version"]]
    newest = {version.formula_id: version.number for version in versions}
    return tuple(
        version
        if version.number == newest[version.formula_id]
        else replace(version, state=State.WITHDRAWN)
        for version in sorted(versions, key=lambda each: (each.formula_id, each.number))
    )


def _version(
    folder: Path,
    entry: Mapping[str, Any],
    states: Mapping[str, str],
    people: Mapping[str, Person],
    zone: ZoneInfo,
) -> Version:
    code, number = entry["code"], entry["number"]
    numbered = folder / "formulas" / f"{code}.{number}.toml"
    path = numbered if numbered.exists() else folder / "formulas" / f"{code}.toml"
    approver = entry.get("approver")
    return Version(
        id=new_id(),
        formula_id=code,
        number=number,
        content=read_formula_file(path),
        state=State(states.get(code, State.IN_USE.value)),
        reason=entry["reason"],
        author_id=people[entry["author"]].id,
        written_at=_moment(entry["written"], zone),
        approver_id=people[approver].id if approver else "",
        approved_at=_moment(entry["approved"], zone) if approver else None,
    )


def _moment(day: date, zone: ZoneInfo) -> datetime:
    return datetime.combine(day, OPENS_AT, zone)
