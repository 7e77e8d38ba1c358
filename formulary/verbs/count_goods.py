"""Keep jars, closures and labels by the piece: what came, what was used, what was counted."""

from __future__ import annotations

from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.errors import NotFound, Refusal
from formulary.ids import new_id
from formulary.messages import message
from formulary.stock.counting import CountedGood, pieces, pieces_left
from formulary.stock.moves import Cause, StockMove, booked
from formulary.store import Reading, Writing
from formulary.verbs.stock_as_seen import require_goods_seen


def save_goods(desk: Desk, good: CountedGood) -> CountedGood:
    """Keep what sort of goods these are. Raises Refusal without a name or for one that is taken."""
    wanted = good.name.strip().casefold()
    if not wanted:
        raise Refusal(message("stock.goods.no_name"))
    for other in desk.store.every(CountedGood):
        if other.id != good.id and other.name.casefold() == wanted:
            raise Refusal(message("stock.goods.taken", name=good.name))
    with desk.writing("save_goods") as writing:
        return writing.put(good)


def receive_goods(desk: Desk, good_id: str, number: int, *, seen: int | None = None) -> int:
    """Add pieces that came, and return how many there are now.

    ``seen`` is how many the person at the desk knew of, here and below. Raises
    :class:`formulary.errors.Conflict` where that changed meanwhile.
    """
    with desk.writing("receive_goods") as writing:
        _require_seen(writing, good_id, seen)
        return _moved(desk, writing, good_id, (number, Cause.RECEIVED), "")


def use_goods(
    desk: Desk, good_id: str, number: int, reason: str, *, seen: int | None = None
) -> int:
    """Take away pieces that were used or spoiled, and return how many are left."""
    with desk.writing("use_goods", reason) as writing:
        _require_seen(writing, good_id, seen)
        return _moved(desk, writing, good_id, (-number, Cause.WASTED), reason)


def count_goods(
    desk: Desk, good_id: str, found: int, reason: str, *, seen: int | None = None
) -> int:
    """Bring the book to what was counted."""
    if found < 0:
        raise Refusal(message("stock.move.below_zero", amount=pieces(found)))
    with desk.writing("count_goods", reason) as writing:
        _require_seen(writing, good_id, seen)
        change = found - goods_left(writing, good_id)
        return _moved(desk, writing, good_id, (change, Cause.COUNTED), reason)


def take_for(desk: Desk, writing: Writing, good: CountedGood, number: int, lot: str) -> None:
    """Take pieces that a preparation used; where the book held fewer it is put right."""
    person = desk.person
    reason = Catalogue(desk.house.language).text(message("stock.goods.filled", lot=lot))
    discrepancy_id = new_id()
    move = StockMove(
        id=new_id(),
        container_id=good.id,
        amount=pieces(-number),
        cause=Cause.WASTED,
        at=desk.act().at,
        person_id=person.id,
        person=person.name,
        reason=reason,
        preparation_lot=lot,
    )
    for each in booked(pieces(goods_left(writing, good.id)), move, discrepancy_id):
        writing.put(each)


def goods_left(store: Reading, good_id: str) -> int:
    """Return how many pieces the book says there are."""
    return pieces_left(store.having(StockMove, container_id=good_id))


def _good(store: Reading, good_id: str) -> CountedGood:
    good = store.get(CountedGood, good_id)
    if good is None:
        raise NotFound(message("stock.goods.none_such", goods=good_id))
    return good


def _require_seen(store: Reading, good_id: str, seen: int | None) -> None:
    require_goods_seen(store, _good(store, good_id), goods_left(store, good_id), seen)


def _moved(
    desk: Desk, writing: Writing, good_id: str, change: tuple[int, Cause], reason: str
) -> int:
    good = _good(writing, good_id)
    number, cause = change
    person = desk.person
    move = StockMove(
        new_id(), good.id, pieces(number), cause, desk.act().at, person.id, person.name, reason
    )
    writing.put(move)
    left = goods_left(writing, good_id)
    if left < 0:
        raise Refusal(message("stock.goods.fewer", name=good.name, n=left - number))
    writing.tell(goods=good.name, left=left)
    return left
