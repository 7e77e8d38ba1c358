"""The house: its name on labels, language and zone, balances, containers and printers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from formulary.backups import BackupPlan
from formulary.bench.balance_checks import CheckWeight
from formulary.bench.scanning import USUAL_GAP_MS
from formulary.formula.justifying import SpecialRisk
from formulary.quantity.amount import Amount
from formulary.shelf_life.house_rules import HouseRules
from formulary.use_by import Counting


class InstrumentKind(StrEnum):
    """What an instrument is for."""

    PH_METER = "pH meter"
    THERMOMETER = "thermometer"
    FRIDGE = "fridge"
    MACHINE = "machine"


class BenchTask(StrEnum):
    """What somebody is trained for, by the dosage forms that are made alike."""

    SEMISOLIDS = "semisolids"
    LIQUIDS = "liquids"
    UNITS = "capsules and powders"
    MOULDED = "moulded forms"


@dataclass(frozen=True, slots=True)
class Balance:
    """A balance: what it carries, its readability and the least net weight allowed on it.

    ``calibration_due`` is the last day of its calibration, without which nothing is weighed for a
    record. ``allowed`` is how far its test ``weights`` may read off. ``port``, ``speed`` and
    ``pattern`` of a serial line are those at the workstation where it stands; a house keeps none,
    unless from before workstations had a profile (:func:`formulary.workstation.house_at`).
    """

    name: str
    capacity: Amount
    readability: Amount
    minimum: Amount
    serial: str = ""
    calibration_due: date | None = None
    allowed: Amount | None = None
    weights: tuple[CheckWeight, ...] = ()
    port: str = ""
    speed: str = ""
    pattern: str = ""


@dataclass(frozen=True, slots=True)
class Measure:
    """A graduated measure, pipette or syringe: capacity, readability and least volume."""

    name: str
    capacity: Amount
    readability: Amount
    minimum: Amount


@dataclass(frozen=True, slots=True)
class Instrument:
    """A pH meter, thermometer, fridge or machine; nothing is read on it after ``due``."""

    name: str
    use: InstrumentKind
    due: date | None = None


@dataclass(frozen=True, slots=True)
class Training:
    """A person fit for a task until the day of the next review, both ends counted."""

    person_id: str
    task: BenchTask
    review_due: date


@dataclass(frozen=True, slots=True)
class Pack:
    """A container: ``content`` is its usual fill, ``brimful`` its volume to the rim."""

    name: str
    content: Amount
    brimful: Amount | None = None
    protects_from_light: bool = False


@dataclass(frozen=True, slots=True)
class Printer:
    """A label printer: its queue at the system, dots per inch, loaded stock and offset in mm."""

    name: str
    queue: str
    dots_per_inch: int = 203
    stock: str = "70x35"
    offset_right_mm: str = "0"
    offset_down_mm: str = "0"


@dataclass(frozen=True, slots=True)
class House:
    """The house's own settings that change results, labels or dates; kept in the formulary.

    ``correction_threshold`` is exact, in per cent: a lot whose content falls short by no more is
    weighed uncorrected. The desk locks after ``lock_minutes`` without a touch, never where it is 0.
    ``clearance`` is the tick list for a bench before work begins. A version in use is looked at
    again after ``review_months`` (our default, no source), never where it is 0. ``gtin`` is the
    GS1 item number that its labels' codes begin with, where it has one. ``suppliers`` are those
    that the house has approved; where it names any, a lot of another one has its reason.
    ``rule_set`` is the code of the one that dates follow (the strictest that comes with the program
    unless another is chosen), ``first_day`` how days are counted where that set doesn't say. Fewer
    than twenty dose units are judged by the rule named ``small_batch_rule``, by which
    ``small_batch_outside`` of them may lie outside the limit of their form; without a name there is
    none. ``label_profile`` is the code of the jurisdiction's rules for labels, the neutral ones
    without it. Where nobody has a training on record, none is asked for; where the house lists any
    of its ``permissions``, a class of special risk that isn't among them isn't made.
    A number whose characters come more than ``scan_gap_ms`` apart counts as typed. Backups are
    made as :class:`BackupPlan` begins, unless the house says otherwise. Names of patients and
    prescribers may be erased ``people_years`` after the last record that needs them, never where
    it is 0. They are kept under ``names_key``, the public half of a key that lies outside the
    formulary, as they are where there is none; ``names_key_saved`` once somebody kept a copy of it.
    """

    id: str
    name: str
    address: tuple[str, ...] = ()
    telephone: str = ""
    decimal_sign: str = "."
    zone: str = "UTC"
    language: str = "en"
    label_language: str = "en"
    lot_prefix: str = ""
    sample: bool = False
    balances: tuple[Balance, ...] = ()
    measures: tuple[Measure, ...] = ()
    packs: tuple[Pack, ...] = ()
    printers: tuple[Printer, ...] = ()
    correction_threshold: str = "2"
    lock_minutes: int = 10
    clearance: tuple[str, ...] = ()
    review_months: int = 24
    gtin: str = ""
    suppliers: tuple[str, ...] = ()
    rule_set: str = "usp795-2023"
    first_day: Counting | None = None
    house_rules: HouseRules | None = None
    small_batch_rule: str = ""
    small_batch_outside: int = 0
    instruments: tuple[Instrument, ...] = ()
    trainings: tuple[Training, ...] = ()
    label_profile: str = ""
    permissions: tuple[SpecialRisk, ...] = ()
    scan_gap_ms: int = USUAL_GAP_MS
    backups: BackupPlan | None = None
    people_years: int = 0
    names_key: str = ""
    names_key_saved: bool = False
    revision: int = 0
