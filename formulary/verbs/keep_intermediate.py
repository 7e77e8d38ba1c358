"""Keep a released trituration, dilution or base made here as a lot of stock of its own."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from formulary.bench.events import HandedOver, Recipient
from formulary.bench.stages import Stage
from formulary.desk import Desk
from formulary.errors import NotFound, Refusal
from formulary.formula.content import Route
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.messages import message
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.signing import Meaning, Signature
from formulary.stock.container import StockContainer
from formulary.stock.intermediates import MadeHere, as_lot
from formulary.stock.lot import Source, SupplyLot
from formulary.stock.receiving import arrivals, containers_of
from formulary.stock.shelf import Holding
from formulary.store import Reading, Writing
from formulary.verbs.book_move import is_controlled
from formulary.verbs.date_preparation import went_in
from formulary.verbs.receive_lot import Received
from formulary.verbs.two_people import UNSIGNED, Signing, both_sign, bound
from formulary.verbs.work_at_bench import AtBench, at_bench, followed, require_seen


def keep_intermediate(
    desk: Desk,
    lot: str,
    ingredient_id: str,
    place: str = "",
    signing: Signing = UNSIGNED,
    *,
    seen: int | None = None,
) -> Received:
    """Keep every jar of a released preparation as a container of a new lot of the ingredient.

    Its date is the earliest of its own and those of all that went into it; its release stands for
    acceptance and identity. Two people sign the arrival of a controlled one, as of any delivery;
    what a controlled substance went into is one itself. Raises
    :class:`formulary.errors.Refusal` for what is given to patients, what isn't released, and an
    ingredient that isn't made here, and :class:`formulary.errors.Conflict` where more happened
    than was ``seen``.
    """
    desk.may("keep_intermediate")
    known = desk.store.get(Ingredient, ingredient_id)
    signatures = _arrival_signed(desk, known, signing)
    with desk.writing("keep_intermediate") as writing:
        work = at_bench(writing, lot)
        require_seen(work, seen)
        release = _require_fit(work)
        ingredient = _made_here(writing, ingredient_id)
        from_lots = went_in(writing, work.preparation.lot)
        _require_controlled(writing, ingredient, from_lots)
        made = _made(desk, ingredient, release, from_lots, place)
        kept = writing.put(as_lot(new_id(), work.preparation, made))
        containers = _containers(desk, writing, work, kept, signatures)
        for jar in work.state.jars:
            work = followed(desk, writing, work, HandedOver(jar.number, Recipient.STOCK, kept.id))
        return Received(kept, containers, ())


def _arrival_signed(
    desk: Desk, ingredient: Ingredient | None, signing: Signing
) -> tuple[Signature, ...]:
    """Return both signatures of a controlled one; nobody is alone, since stock can wait."""
    if ingredient is None or not ingredient.controlled:
        return ()
    return both_sign(desk, replace(signing, alone_because=""))


def _require_controlled(
    store: Reading, ingredient: Ingredient, from_lots: tuple[Holding, ...]
) -> None:
    """Refuse stock that is on record as anything else while a controlled substance is in it."""
    if ingredient.controlled:
        return
    for each in from_lots:
        if is_controlled(store, each.lot):
            source = store.get(Ingredient, each.lot.ingredient_id)
            name = source.name if source is not None else each.lot.number
            told = message("verbs.stock_holds_controlled", ingredient=ingredient.name, source=name)
            raise Refusal(told)


def _require_fit(work: AtBench) -> Signature:
    """Return the signature of its release, if all of it may become stock."""
    lot = work.preparation.lot
    if work.content.route is not Route.NOT_A_MEDICINE:
        raise Refusal(message("verbs.stock_is_a_medicine", lot=lot))
    if any(each.recipient is not None for each in work.state.jars):
        raise Refusal(message("verbs.stock_some_gone", lot=lot))
    signatures = (each.signature for each in reversed(work.events))
    released = (each for each in signatures if each and each.meaning is Meaning.RELEASED)
    release = next(released, None)
    if release is None or work.state.stage is not Stage.RELEASED:
        raise Refusal(message("verbs.stock_not_released", lot=lot))
    return release


def _made_here(store: Reading, ingredient_id: str) -> Ingredient:
    found = store.get(Ingredient, ingredient_id)
    if found is None:
        raise NotFound(message("verbs.no_ingredient_record", ingredient=ingredient_id))
    if found.source is not Source.INTERMEDIATE:
        raise Refusal(message("verbs.stock_no_intermediate", ingredient=found.name))
    return found


def _made(
    desk: Desk,
    ingredient: Ingredient,
    release: Signature,
    from_lots: tuple[Holding, ...],
    place: str,
) -> MadeHere:
    return MadeHere(
        ingredient_id=ingredient.id,
        strength=_strength(ingredient),
        release=release,
        last_days=tuple(each.until for each in from_lots),
        maker=desk.house.name,
        hazards=_all(each.lot.hazards for each in from_lots),
        allergens=_all(each.lot.allergens for each in from_lots),
        place=place.strip(),
    )


def _strength(ingredient: Ingredient) -> Concentration | OneIn | None:
    strength = ingredient.strength
    return None if isinstance(strength, Amount) else strength


def _all(marks: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    """Return each mark once, in order."""
    return tuple(dict.fromkeys(mark for each in marks for mark in each))


def _containers(
    desk: Desk,
    writing: Writing,
    work: AtBench,
    lot: SupplyLot,
    signatures: tuple[Signature, ...],
) -> tuple[StockContainer, ...]:
    """Number and fill a container for each jar."""
    sizes = [each.net for each in work.state.jars]
    first = writing.allot_containers(len(sizes))
    in_use = work.content.shelf_life.opened if work.content.shelf_life else None
    full = containers_of(lot, sizes, [new_id() for _ in sizes], first, in_use)
    kept = tuple(map(writing.put, full))
    for move in arrivals(kept, [new_id() for _ in sizes], desk.act().at, desk.person):
        writing.put(bound(replace(move, signatures=signatures)))
    writing.tell(made=lot.number, first=kept[0].number, containers=len(kept))
    return kept
