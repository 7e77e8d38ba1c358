"""Review a formula with all that the house knows, and let a pharmacist's reason stand beside it."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace

from formulary.canonical import content_hash
from formulary.desk import Desk
from formulary.errors import Forbidden, NotFound, Refusal
from formulary.finding import Finding
from formulary.formula.completing import completed
from formulary.formula.content import Content
from formulary.formula.review import review_of
from formulary.formula.version import Formula, State, Version
from formulary.house import House
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.messages import message
from formulary.preparation import Preparation
from formulary.review.case import Case, Facts, Limit, Made
from formulary.review.house_rules import HouseRule
from formulary.review.overriding import Overriding, holding, require_overridable, unanswered
from formulary.review.registry import review, stops
from formulary.shelf_life.dating import Dated, allowed_by_rules, of_formula
from formulary.shelf_life.doubts import left_open_in
from formulary.shelf_life.rules import citation
from formulary.signing import Meaning, Signature
from formulary.stock.lot import Source, Status, SupplyLot
from formulary.store import Reading
from formulary.verbs.date_preparation import date_as_signed
from formulary.verbs.sign_in import signed
from formulary.wording.label_profile import label_profile

LAST_MADE = 3
MOST_HITS = 5


@dataclass(frozen=True, slots=True)
class Basis:
    """What a formula is reviewed by; read once, it serves while somebody types."""

    facts: Facts
    house: House
    house_rules: tuple[HouseRule, ...] = ()

    def review(self, content: Content) -> tuple[Finding, ...]:
        """Return the findings on a content as it stands."""
        whole = completed(content, self.facts.ingredients)
        found = self._dated(whole)
        if found is None:
            return review(Case(whole, self.facts), self.house_rules)
        undated = of_formula(found, whole.storage)
        facts = replace(self.facts, limit=self._limit(found), undated=undated)
        return review(Case(whole, facts), self.house_rules)

    def silenced(self, content: Content) -> tuple[Finding, ...]:
        """Return what rules of the house keep silent of a content."""
        if not any(each.stands and each.silences for each in self.house_rules):
            return ()
        heard = self.review(content)
        whole = replace(self, house_rules=()).review(content)
        return tuple(each for each in whole if each not in heard)

    def _dated(self, content: Content) -> Dated | None:
        """Return how long it lasts by the house's rule set, as if its evidence were signed."""
        if self.facts.today is None:
            return None
        try:
            return date_as_signed(self.house, content, self.facts.today)
        except Refusal:
            # House rules that nobody signed: what is made says so, a formula isn't wrong by it.
            return None

    def _limit(self, found: Dated) -> Limit | None:
        allowed = allowed_by_rules(found)
        if allowed is None:
            return None
        surely, at_best = allowed
        counting = found.rules.counting or self.house.first_day
        source = surely.source or citation(found.rules)
        return Limit(
            surely.last_day, source, at_best.last_day, counting, left_open_in(found.findings)
        )


@dataclass(frozen=True, slots=True)
class Reviewed:
    """A version's findings, the reasons given for some of them, and what still needs one.

    ``silenced`` is what rules of the house keep silent.
    """

    findings: tuple[Finding, ...]
    overridings: tuple[Overriding, ...]
    open: tuple[Finding, ...]
    silenced: tuple[Finding, ...] = ()


def basis_of(desk: Desk, formula_id: str = "", version: Version | None = None) -> Basis:
    """Return what a formula, or a version of it, is reviewed by."""
    store, house = desk.store, desk.house
    due = review_of(version, house.review_months) if version is not None else None
    ingredients = tuple(store.every(Ingredient))
    facts = Facts(
        today=desk.today,
        ingredients=ingredients,
        balances=house.balances,
        packs=house.packs,
        made_here=_made_here(store, ingredients),
        lots=_lots(store, [each.id for each in ingredients]),
        titles=tuple(each.title for each in store.every(Formula) if each.id != formula_id),
        before=_before(store, formula_id, version),
        made=_made(store, formula_id) if formula_id else (),
        review_due=due.due if due is not None else None,
        profile=label_profile(house.label_profile),
        permissions=house.permissions,
        in_use=version is not None and version.state is State.IN_USE,
    )
    return Basis(facts, house, tuple(store.every(HouseRule)))


def known_version(store: Reading, version_id: str) -> Version:
    """Return a version by its id. Raises :class:`formulary.errors.NotFound`."""
    version = store.get(Version, version_id)
    if version is None:
        raise NotFound(message("verbs.no_such_formula", text=version_id))
    return version


def review_version(desk: Desk, version: Version) -> Reviewed:
    """Return how a version stands before the review today."""
    basis = basis_of(desk, version.formula_id, version)
    findings = basis.review(version.content)
    given = tuple(desk.store.having(Overriding, version_id=version.id))
    held = holding(given, desk.house.review_months, desk.today)
    return Reviewed(findings, given, unanswered(findings, held), basis.silenced(version.content))


def require_passed(desk: Desk, version: Version) -> None:
    """Raise :class:`formulary.errors.Refusal` for a stop, and for a reason still to be given."""
    found = review_version(desk, version)
    for each in stops(found.findings)[:1]:
        raise Refusal(message("review.stopped", sentence=each.said))
    for each in found.open[:1]:
        raise Refusal(message("review.needs_reason", sentence=each.said))


def require_answered(desk: Desk, version: Version, why: str) -> tuple[Finding, ...]:
    """Return what an order's check answers with its note on compatibility.

    Raises :class:`formulary.errors.Refusal` for a stop, and without a note for what needs one.
    """
    found = review_version(desk, version)
    for each in stops(found.findings)[:1]:
        raise Refusal(message("review.stopped", sentence=each.said))
    for each in found.open[:1] if not why.strip() else ():
        raise Refusal(message("review.note_needed", sentence=each.said))
    return found.open


def answered(version_id: str, finding: Finding, why: str, by: Signature) -> Overriding:
    """Return a reason to keep. Raises as :func:`override_finding` does."""
    require_overridable(finding, why, by)
    rule, field, said = finding.rule, finding.field, finding.said
    return Overriding(new_id(), version_id, rule, field, said, why.strip(), by)


def override_finding(
    desk: Desk, version_id: str, finding: Finding, why: str, pin: str
) -> Overriding:
    """Keep a pharmacist's reason why a finding of a version may stand.

    Raises :class:`formulary.errors.Refusal` for a stop, an empty reason and a finding that the
    review doesn't have any more, :class:`formulary.errors.Forbidden` unless a pharmacist signs.
    """
    desk.may("override_finding")
    version = known_version(desk.store, version_id)
    if version.state is State.WITHDRAWN:
        raise Forbidden(message("review.no_such_finding"))
    if finding not in review_version(desk, version).findings:
        raise Refusal(message("review.no_such_finding"))
    by = signed(desk, pin, Meaning.DECIDED, content_hash(version.content))
    kept = answered(version_id, finding, why, by)
    with desk.writing("override_finding", why) as writing:
        writing.tell(rule=finding.rule, field=finding.field, signed=by.meaning.value)
        return writing.put(kept)


def standing_rules(store: Reading) -> tuple[HouseRule, ...]:
    """Return the rules of the house that weren't taken back."""
    return tuple(each for each in store.every(HouseRule) if each.stands)


def add_house_rule(desk: Desk, rule: HouseRule, pin: str) -> HouseRule:
    """Keep a rule of the house under a pharmacist's signature.

    Raises :class:`formulary.errors.Forbidden` unless a pharmacist signs.
    """
    desk.may("add_house_rule")
    by = signed(desk, pin, Meaning.DECIDED, content_hash(rule, "house rule"))
    with desk.writing("add_house_rule", rule.because) as writing:
        writing.tell(rule=rule.silences or rule.sentence, signed=by.meaning.value)
        return writing.put(replace(rule, signature=by))


def end_house_rule(desk: Desk, rule_id: str, why: str, pin: str) -> HouseRule:
    """Take a rule of the house back. Raises Refusal without a reason and for one that is back."""
    desk.may("end_house_rule")
    rule = desk.store.get(HouseRule, rule_id)
    if rule is None or not rule.stands:
        raise Refusal(message("review.house.ended_already"))
    if not why.strip():
        raise Refusal(message("review.house.no_reason_to_end"))
    by = signed(desk, pin, Meaning.DECIDED, content_hash(rule, "house rule"))
    with desk.writing("end_house_rule", why) as writing:
        writing.tell(rule=rule.silences or rule.sentence, signed=by.meaning.value)
        return writing.put(replace(rule, ended=by))


def _made_here(store: Reading, ingredients: Iterable[Ingredient]) -> dict[str, Content]:
    """Return the formulas in use by which bases and intermediates are made, by what they make."""
    own = (each for each in ingredients if each.source in (Source.BASE, Source.INTERMEDIATE))
    hits = (hit for each in own for hit in store.find_formulas(each.name, MOST_HITS))
    found: dict[str, Content] = {}
    for formula_id in dict.fromkeys(each.formula_id for each in hits):
        for version in store.versions(formula_id):
            if version.state is State.IN_USE and not version.order_id:
                found[version.content.label.name or version.content.title] = version.content
    return found


def _before(store: Reading, formula_id: str, version: Version | None) -> Content | None:
    in_use = [each for each in store.versions(formula_id) if each.state is State.IN_USE]
    if not in_use or (version is not None and in_use[-1].id == version.id):
        return None
    return in_use[-1].content


def _lots(store: Reading, ingredient_ids: Collection[str]) -> dict[str, tuple[SupplyLot, ...]]:
    found: dict[str, tuple[SupplyLot, ...]] = {}
    for lot in store.having_any(SupplyLot, "ingredient_id", ingredient_ids):
        if lot.status is Status.ACCEPTED and lot.stop is None:
            found[lot.ingredient_id] = (*found.get(lot.ingredient_id, ()), lot)
    return found


def _made(store: Reading, formula_id: str) -> tuple[Made, ...]:
    """Return what was made last of a formula, the newest first."""
    versions = {each.id: each for each in store.versions(formula_id)}
    names = ("lot", "version_id", "started_at")
    rows = store.columns(Preparation, names, "version_id", tuple(versions))
    newest = sorted(rows, key=lambda row: row[2], reverse=True)[:LAST_MADE]
    return tuple(Made(lot, versions[version].content) for lot, version, _ in newest)
