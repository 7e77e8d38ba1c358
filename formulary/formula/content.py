"""What one version of a house formula says, frozen."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction

from formulary.formula.justifying import Risk, SpecialRisk
from formulary.formula.kinds import Kind
from formulary.formula.moulding import Capsule, Displacement, Mould
from formulary.formula.stability import Closure, Factors, Packing, Preservation, Water
from formulary.quantity.amount import Amount
from formulary.quantity.density import Density


class Role(StrEnum):
    """What an ingredient is in the formula for."""

    ACTIVE = "active"
    BASE = "base"
    VEHICLE = "vehicle"
    SOLVENT = "solvent"
    EMULSIFIER = "emulsifier"
    THICKENER = "thickener"
    HUMECTANT = "humectant"
    PRESERVATIVE = "preservative"
    ANTIOXIDANT = "antioxidant"
    PH_ADJUSTER = "pH adjuster"
    BUFFER = "buffer"
    FLAVOUR = "flavour"
    SWEETENER = "sweetener"
    COLOUR = "colour"
    FILLER = "filler"
    OTHER = "other"


class Form(StrEnum):
    """The dosage form."""

    CREAM = "cream"
    OINTMENT = "ointment"
    PASTE = "paste"
    GEL = "gel"
    LOTION = "lotion"
    EMULSION = "emulsion"
    SOLUTION = "solution"
    SPIRIT = "spirit"
    SYRUP = "syrup"
    SUSPENSION = "suspension"
    MOUTHWASH = "mouthwash"
    POWDER = "powder"
    POWDERS = "divided powders"
    CAPSULES = "capsules"
    SUPPOSITORIES = "suppositories"
    PESSARIES = "pessaries"
    DROPS = "drops"
    LINIMENT = "liniment"
    OTHER = "other"


class Route(StrEnum):
    """Where the preparation is used."""

    SKIN = "skin"
    SCALP = "scalp"
    MOUTH = "mouth and throat"
    ORAL = "by mouth"
    EAR = "ear"
    NOSE = "nose"
    RECTAL = "rectal"
    VAGINAL = "vaginal"
    NOT_A_MEDICINE = "not given to patients"


@dataclass(frozen=True, slots=True)
class Line:
    """One ingredient in order, with its quantity and what is needed to weigh it.

    ``ingredient`` is the name as the formula gives it, ``ingredient_id`` the house's record of it.
    ``tolerance`` is the allowed weighing error in per cent, if not the role's default.
    ``drop`` is the mass or volume of one drop with the house's dropper for this liquid.
    ``potency`` is international units per mg (by the lot; a later lot's own figure wins).
    ``factor_range`` is where correction factors of its lots usually lie, by the house's record.
    ``density`` of a powder in a capsule is its tapped density; ``displacement`` says how much base
    it takes the place of in a mould. With ``double_check`` a second person looks at container and
    figure afresh, whatever the ingredient itself asks.
    """

    ingredient: str
    quantity: Kind
    role: Role = Role.OTHER
    phase: str = ""
    grade: str = ""
    note: str = ""
    density: Density | None = None
    drop: Amount | None = None
    potency: Fraction | None = None
    tolerance: Fraction | None = None
    ingredient_id: str = ""
    displacement: Displacement | None = None
    factor_range: tuple[Fraction, Fraction] | None = None
    double_check: bool = False


@dataclass(frozen=True, slots=True)
class Phase:
    """A part of the preparation made on its own before phases are joined."""

    code: str
    name: str


class Asked(StrEnum):
    """What a step can ask to be recorded before it counts as done."""

    TIME = "time"
    TEMPERATURE = "temperature"
    PH = "pH"
    TICK = "tick"
    PHOTO = "photo"
    SECOND_PERSON = "second person"


@dataclass(frozen=True, slots=True)
class Ask:
    """One thing that a step asks for, with its limits, both allowed: minutes, °C or pH."""

    what: Asked
    text: str = ""
    lowest: Fraction | None = None
    highest: Fraction | None = None


@dataclass(frozen=True, slots=True)
class MethodStep:
    """One step of the method; empty fields are not asked for.

    ``lowest`` and ``highest`` are the step's temperature window in °C and ``minutes`` its timer,
    where they are to be held to and not only read. ``joins`` are the phases that flow into this
    step's own, ``adds`` the ingredients weighed at this step rather than at its phase's first.
    """

    text: str
    phase: str = ""
    temperature: str = ""
    time: str = ""
    speed: str = ""
    equipment: str = ""
    look_for: str = ""
    lowest: Fraction | None = None
    highest: Fraction | None = None
    minutes: Fraction | None = None
    joins: tuple[str, ...] = ()
    adds: tuple[str, ...] = ()
    asks: tuple[Ask, ...] = ()


@dataclass(frozen=True, slots=True)
class QualityTest:
    """An in-process or final test with its limits, in words."""

    name: str
    limits: str
    when: str = "final"


@dataclass(frozen=True, slots=True)
class Container:
    """What the preparation is packed in: kind, material, closure, protection from light."""

    text: str
    protect_from_light: bool = False
    packing: Packing | None = None
    material: str = ""
    closure: Closure | None = None
    child_resistant: bool = False


@dataclass(frozen=True, slots=True)
class Storage:
    """How it is kept: temperatures in whole degrees Celsius, then what else matters."""

    lowest: int | None = None
    highest: int | None = None
    do_not_freeze: bool = False
    protect_from_light: bool = False
    keep_dry: bool = False
    note: str = ""


class Span(StrEnum):
    """The calendar unit of a shelf life."""

    DAYS = "days"
    WEEKS = "weeks"
    MONTHS = "months"


@dataclass(frozen=True, slots=True)
class Period:
    """A number of days, weeks or calendar months, at least one."""

    number: int
    span: Span

    def __post_init__(self) -> None:
        if self.number < 1:
            raise ValueError("a period is at least one day, week or month")


@dataclass(frozen=True, slots=True)
class ShelfLife:
    """How long it lasts, with the reason and the reference that supports it."""

    unopened: Period
    opened: Period | None = None
    reason: str = ""
    reference: str = ""


@dataclass(frozen=True, slots=True)
class Evidence:
    """What a study shows: for how long it is stable, and whether it fits this very preparation.

    Literature for one strength, vehicle, container or temperature doesn't cover another;
    ``preservative_tested`` is whether the study shows that germs are kept down as well. It counts
    once a pharmacist has signed the version.
    """

    period: Period
    citation: str = ""
    same_composition: bool = False
    same_container: bool = False
    same_storage: bool = False
    preservative_tested: bool = False


class Target(StrEnum):
    """For whom a preparation is meant, where a label has to say so."""

    ADULTS = "adults"
    CHILDREN = "children"
    INFANTS = "infants"


@dataclass(frozen=True, slots=True)
class LabelText:
    """What the label says beyond what the program knows.

    ``name`` and ``strength`` are declared, never computed from corrected amounts. ``warnings``
    are codes of the catalogue's label texts, ``extra`` sentences of the house.
    """

    name: str = ""
    strength: str = ""
    directions: str = ""
    warnings: tuple[str, ...] = ()
    extra: tuple[str, ...] = ()
    target: Target | None = None


@dataclass(frozen=True, slots=True)
class BatchLimits:
    """The range of sizes for which the method was proven."""

    smallest: Amount | None = None
    largest: Amount | None = None


@dataclass(frozen=True, slots=True)
class Content:
    """All that a version of a formula says.

    ``total`` is the whole as written when no line says "ad"; ``units`` the number of dose units
    that the formula as written makes and ``unit_name`` what one is called; ``dose`` the size of
    one dose of an undivided preparation; ``density`` that of the preparation itself. Units that are
    poured or filled have a ``mould`` or a ``capsule``, never both. ``join_difference`` is by how
    many °C phases may differ when they are joined (empty: the bench's default). ``marketed`` says
    why it is made though a product with marketing authorisation exists, or that none does, and
    ``marketed_checked`` when that was looked up. ``adapted_from`` is the formula from elsewhere
    that this one was made of, if it was.
    """

    title: str
    code: str
    form: Form
    route: Route
    lines: tuple[Line, ...]
    total: Amount | None = None
    units: int | None = None
    unit_name: str = ""
    dose: Amount | None = None
    density: Density | None = None
    latin: str = ""
    synonyms: tuple[str, ...] = ()
    phases: tuple[Phase, ...] = ()
    steps: tuple[MethodStep, ...] = ()
    tests: tuple[QualityTest, ...] = ()
    container: Container | None = None
    storage: Storage | None = None
    shelf_life: ShelfLife | None = None
    label: LabelText = LabelText()
    batch: BatchLimits = BatchLimits()
    purpose: str = ""
    cautions: str = ""
    source: str = ""
    mould: Mould | None = None
    capsule: Capsule | None = None
    join_difference: Fraction | None = None
    water: Water | None = None
    preservation: Preservation | None = None
    evidence: Evidence | None = None
    marketed: str = ""
    marketed_checked: date | None = None
    adapted_from: str = ""
    special_risks: tuple[SpecialRisk, ...] = ()
    risk: Risk | None = None
    factors: Factors | None = None
